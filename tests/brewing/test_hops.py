import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing import hops
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.hops import UtilisationModel

minutes = st.floats(0.0, 120.0)
gravities = st.floats(1.000, 1.130)
models = st.sampled_from(UtilisationModel)


@given(minutes, gravities, models)
def test_utilisation_is_a_share(time_min, gravity, model):
    assert 0.0 <= hops.boil_utilisation(time_min, gravity, model) < 0.4


@given(minutes, gravities, models)
def test_utilisation_never_falls_with_time(time_min, gravity, model):
    assert hops.boil_utilisation(time_min, gravity, model) <= hops.boil_utilisation(
        time_min + 1.0, gravity, model
    )


@given(minutes, gravities, models)
def test_utilisation_never_rises_with_gravity(time_min, gravity, model):
    assert hops.boil_utilisation(time_min, gravity, model) >= hops.boil_utilisation(
        time_min, gravity + 0.01, model
    )


@given(gravities)
def test_no_time_gives_no_bitterness_by_tinseth(gravity):
    assert hops.utilisation_tinseth(0.0, gravity) == 0.0


@given(minutes, st.floats(1.000, 1.050))
def test_gravity_below_1050_does_not_matter_to_rager(time_min, gravity):
    assert hops.utilisation_rager(time_min, gravity) == hops.utilisation_rager(time_min, 1.0)


def test_the_two_models_agree_within_forty_per_cent_on_an_hour_of_ordinary_wort():
    tinseth = hops.boil_utilisation(60.0, 1.050)
    rager = hops.boil_utilisation(60.0, 1.050, UtilisationModel.RAGER)
    assert rager == pytest.approx(tinseth, rel=0.4)
    assert rager > tinseth


@given(st.floats(0.0, 150.0), st.floats(0.01, 0.25), st.floats(0.005, 0.35), st.floats(1.0, 1000.0))
def test_mass_and_bitterness_are_inverse(ibu, alpha, utilisation, volume_l):
    mass = hops.mass_kg_for_bitterness(ibu, alpha, utilisation, volume_l)
    assert hops.bitterness_ibu(mass, alpha, utilisation, volume_l) == pytest.approx(ibu, rel=1e-9)


@given(st.floats(0.001, 1.0), st.floats(0.01, 0.25), st.floats(1.0, 1000.0))
def test_doubling_hops_and_volume_keeps_the_bitterness(mass_kg, alpha, volume_l):
    assert hops.bitterness_ibu(2.0 * mass_kg, alpha, 0.2, 2.0 * volume_l) == pytest.approx(
        hops.bitterness_ibu(mass_kg, alpha, 0.2, volume_l), rel=1e-12
    )


@given(st.floats(0.001, 1.0), st.floats(0.01, 0.25), st.floats(1.0, 1000.0))
def test_dry_hops_bring_no_iso_alpha_acid(mass_kg, alpha, volume_l):
    assert hops.bitterness_ibu(mass_kg, alpha, hops.DRY_HOP_UTILISATION, volume_l) == 0.0


@given(minutes)
def test_a_stand_at_boiling_is_a_boil(time_min):
    assert hops.stand_equivalent_min(100.0, time_min) == pytest.approx(time_min, rel=1e-12)


@given(st.floats(0.0, 99.0), st.floats(0.1, 120.0))
def test_a_cooler_stand_isomerises_less(temperature_c, time_min):
    assert hops.stand_equivalent_min(temperature_c, time_min) < hops.stand_equivalent_min(
        temperature_c + 1.0, time_min
    )


def test_the_gravity_of_a_boil_is_the_mean_of_before_and_after():
    assert hops.mean_boil_gravity(1.037, 1.050) == pytest.approx(1.0435, abs=1e-12)


@pytest.mark.parametrize(
    "refused",
    [
        lambda: hops.utilisation_tinseth(-1.0, 1.050),
        lambda: hops.utilisation_rager(60.0, 50.0),
        lambda: hops.bitterness_ibu(0.028, 10.0, 0.23, 20.0),
        lambda: hops.bitterness_ibu(0.028, 0.10, 0.23, 0.0),
        lambda: hops.mass_kg_for_bitterness(30.0, 0.0, 0.23, 20.0),
        lambda: hops.mass_kg_for_bitterness(30.0, 0.31, 0.23, 20.0),
        lambda: hops.mass_kg_for_bitterness(30.0, 0.10, 0.0, 20.0),
        lambda: hops.stand_equivalent_min(101.0, 10.0),
        lambda: hops.stand_equivalent_min(80.0, -10.0),
        lambda: hops.isomerisation_rate_per_min(150.0),
    ],
)
def test_what_hops_cannot_do_is_refused(refused):
    with pytest.raises(OutOfRangeError):
        refused()


def test_alpha_acid_dissolves_up_to_where_the_measured_curve_leaves_the_straight_line():
    # Hosom, "Hopping Rate Correction", web article: 490 (1 - exp(-0.0028 A0)) mg/L above 240.
    limit = hops.ALPHA_LOAD_LIMIT_MG_PER_L
    assert 490.0 * (1.0 - math.exp(-0.0028 * limit)) == pytest.approx(limit, abs=0.5)
    more = 1.05 * limit
    assert 490.0 * (1.0 - math.exp(-0.0028 * more)) < more - 3.0
