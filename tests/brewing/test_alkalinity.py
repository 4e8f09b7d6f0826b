from math import log10

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.alkalinity import (
    alkalinity_as_caco3_mg_l,
    alkalinity_from_caco3,
    alkalinity_from_species,
    bicarbonate_mg_l,
    carbonate_mg_l,
    neutralised_share,
    residual_alkalinity_meq_l,
)
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.ions import Water

alkalinities = st.floats(0.2, 10.0)


@given(st.floats(0.0, 1000.0))
def test_alkalinity_as_calcium_carbonate_returns(alkalinity):
    assert alkalinity_as_caco3_mg_l(alkalinity_from_caco3(alkalinity)) == pytest.approx(alkalinity)


def test_bicarbonate_and_carbonate_of_a_report_add_up_to_its_alkalinity():
    # 150 mg/L of bicarbonate is 2.458 meq/L or 123.0 mg/L as CaCO3, by hand
    alkalinity = alkalinity_from_species(150.0)
    assert alkalinity == pytest.approx(2.458, abs=5e-4)
    assert alkalinity_as_caco3_mg_l(alkalinity) == pytest.approx(123.0, abs=0.05)
    assert alkalinity_from_species(0.0, 60.008) == pytest.approx(2.0)


@given(alkalinities, st.floats(6.0, 10.0))
def test_the_species_carry_the_alkalinity(alkalinity, ph):
    bicarbonate = bicarbonate_mg_l(alkalinity, ph) / 61.016
    carbonate = carbonate_mg_l(alkalinity, ph) / 60.008
    hydroxide, hydrogen = 10.0 ** (ph - 11.0), 10.0 ** (3.0 - ph)
    total = bicarbonate + 2.0 * carbonate + hydroxide - hydrogen
    assert total == pytest.approx(alkalinity, rel=1e-9)


@given(alkalinities, st.floats(6.0, 9.5))
def test_bicarbonate_falls_and_carbonate_rises_with_ph(alkalinity, ph):
    assert bicarbonate_mg_l(alkalinity, ph) > bicarbonate_mg_l(alkalinity, ph + 0.1)
    assert carbonate_mg_l(alkalinity, ph) < carbonate_mg_l(alkalinity, ph + 0.1)


def test_nine_tenths_of_bicarbonate_are_gone_at_mash_ph():
    assert neutralised_share(5.4) == pytest.approx(0.8995, abs=5e-5)


def test_half_of_bicarbonate_is_gone_at_its_first_constant():
    assert neutralised_share(6.352) == pytest.approx(0.5)
    # Henderson and Hasselbalch, the other way round
    share = neutralised_share(6.0)
    assert 6.352 + log10((1.0 - share) / share) == pytest.approx(6.0)


@given(alkalinities, st.floats(0.0, 300.0), st.floats(1.0, 100.0))
def test_residual_alkalinity_falls_when_calcium_rises(alkalinity, calcium, more):
    before = Water(calcium_mg_l=calcium, alkalinity_meq_l=alkalinity)
    after = Water(calcium_mg_l=calcium + more, alkalinity_meq_l=alkalinity)
    assert residual_alkalinity_meq_l(after) < residual_alkalinity_meq_l(before)


def test_residual_alkalinity_may_be_negative():
    assert residual_alkalinity_meq_l(Water(calcium_mg_l=200.0)) < 0.0


@pytest.mark.parametrize("ph", [1.0, 13.0, float("nan")])
def test_a_ph_that_no_water_has_is_refused(ph):
    with pytest.raises(OutOfRangeError):
        neutralised_share(ph)
