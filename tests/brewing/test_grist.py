import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing import grist
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.gravity import gravity_of_wort

fractions = st.floats(0.0, 1.0)


@given(fractions, st.floats(0.0, 0.5))
def test_moisture_only_lowers_the_yield(yield_dry, moisture):
    assert 0.0 <= grist.as_is_yield(yield_dry, moisture) <= yield_dry


@given(fractions)
def test_a_dry_fermentable_yields_as_is_what_it_yields_dry(yield_dry):
    assert grist.as_is_yield(yield_dry, 0.0) == yield_dry


@given(st.lists(st.tuples(st.floats(0.0, 20.0), fractions), max_size=8))
def test_the_order_of_a_grist_does_not_matter(lines):
    masses, yields = zip(*lines, strict=True) if lines else ((), ())
    forward = grist.potential_extract_kg(masses, yields)
    assert grist.potential_extract_kg(masses[::-1], yields[::-1]) == pytest.approx(forward)


def test_a_mass_without_a_yield_is_refused():
    with pytest.raises(ValueError, match="zip"):
        grist.potential_extract_kg([1.0, 2.0], [0.8])


@given(st.floats(0.3, 1.0), st.floats(1.0, 8.0), st.floats(0.0, 1.0))
def test_implied_efficiency_is_the_one_the_wort_was_made_with(efficiency, potential_kg, sugar_kg):
    gravity = gravity_of_wort(efficiency * potential_kg + sugar_kg, 30.0)
    assert grist.implied_mash_efficiency(30.0, gravity, potential_kg, sugar_kg) == pytest.approx(
        efficiency, rel=1e-9
    )


def test_a_contradiction_is_reported_and_not_clipped():
    assert grist.implied_mash_efficiency(30.0, 1.080, 3.0) > 1.0
    assert grist.implied_mash_efficiency(30.0, 1.010, 3.0, 2.0) < 0.0


@pytest.mark.parametrize(("volume_l", "potential_kg"), [(0.0, 3.0), (30.0, 0.0), (30.0, -1.0)])
def test_no_volume_or_no_mash_is_refused(volume_l, potential_kg):
    with pytest.raises(OutOfRangeError):
        grist.implied_mash_efficiency(volume_l, 1.050, potential_kg)


@pytest.mark.parametrize(("yield_dry", "moisture"), [(80.0, 0.04), (0.8, 4.0), (-0.1, 0.0)])
def test_percent_given_for_a_fraction_is_refused(yield_dry, moisture):
    with pytest.raises(OutOfRangeError):
        grist.as_is_yield(yield_dry, moisture)


def test_a_difference_beyond_any_malt_is_refused():
    with pytest.raises(OutOfRangeError):
        grist.coarse_from_fine(0.8, 1.5)
