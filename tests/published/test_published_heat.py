import pytest

from published.cases import cases
from wortwright.brewing import heat
from wortwright.brewing.gravity import gravity_from_plato


@pytest.mark.parametrize("case", cases("strike_temperature_c"))
def test_strike_temperature(case):
    assert heat.strike_temperature_c(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("infusion_kg"))
def test_infusion(case):
    assert heat.infusion_kg(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("cooling_rate_per_min"))
def test_cooling_rate(case):
    assert heat.cooling_rate_per_min(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("cooled_temperature_c"))
def test_cooled_temperature(case):
    assert heat.cooled_temperature_c(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("wet_bag_kg"))
def test_wet_bag(case):
    of = case.inputs
    held_l = of["held_l_per_kg"] * of["grain_kg"]
    gravity = gravity_from_plato(of["extract_plato"])
    mass = heat.wet_bag_kg(of["grain_kg"], of["extracted_yield"], held_l, gravity)
    assert mass == case.expected


def test_the_specific_heat_of_malt_is_that_of_the_source():
    # Pauls and Whites, Brewing Room Book 1984/85: 0.40 at 3 and 4 % moisture.
    assert heat.GRAIN_HEAT == pytest.approx(0.40, abs=0.005)
