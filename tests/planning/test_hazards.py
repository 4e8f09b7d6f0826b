"""Which cautions a plan calls for."""

from typing import Any

from planning.builders import calibration, pale, plan, recipe, recipe_of_this_setup, setup
from wortwright.planning.plan import Plan
from wortwright.planning.target import Target
from wortwright.records.setup import GrainHeldBy, Vessel, Vessels

KNOWN = calibration()


def codes(made: Plan) -> list[str]:
    """Codes of the cautions."""
    return [caution.code for caution in made.cautions]


def brew(grain_kg: float, **changes: Any) -> Plan:
    made = recipe_of_this_setup(recipe(grist=(pale(grain_kg),)), KNOWN)
    return plan(made, KNOWN, setup(**changes))


def test_hot_wort_the_boil_and_gas_are_warned_of_in_every_brew() -> None:
    assert {"scald", "boil_over", "fermentation_gas"} <= set(codes(brew(2.0)))


def test_a_bag_that_weighs_more_than_ten_kilograms_when_lifted_is_warned_of() -> None:
    # A kilogram of grain weighs about 2.4 kg when first lifted (worked case: 14.37 kg from 6).
    assert "wet_bag" not in codes(brew(3.8))
    assert "wet_bag" in codes(brew(4.6))
    assert "wet_bag" not in codes(brew(8.0, grain_held_by=GrainHeldBy.FALSE_BOTTOM))


def test_a_grain_holder_that_was_not_told_is_warned_of_as_a_bag() -> None:
    assert "wet_bag" in codes(brew(8.0, grain_held_by=None))


def test_strong_drink_is_warned_of_from_eight_per_cent() -> None:
    made = recipe_of_this_setup(recipe(), KNOWN)
    weak, strong = (plan(made, KNOWN, None, Target(gravity=g)) for g in (1.075, 1.088))
    assert weak.forecast.alcohol_by_volume.mean < 0.08 <= strong.forecast.alcohol_by_volume.mean
    assert "strong_drink" not in codes(weak)
    assert "strong_drink" in codes(strong)


def test_an_aged_beer_is_never_to_be_sealed() -> None:
    made = recipe_of_this_setup(recipe(), KNOWN)
    on = setup(vessels=Vessels(Vessel(1000.0), ageing=(Vessel(10.0), Vessel(10.0))))
    assert "sealed_vessel" in codes(plan(made, KNOWN, on, Target(gravity=1.090)))
    assert "sealed_vessel" not in codes(plan(made, KNOWN, on, Target(gravity=1.050)))


def test_what_floods_over_hot_is_warned_of_first() -> None:
    assert codes(brew(8.0, vessels=Vessels(Vessel(20.0))))[0] == "overflow"
    assert "overflow" not in codes(brew(2.0))
