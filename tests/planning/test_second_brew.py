"""Second brews are judged by a blend of kilograms that shares no code with ours."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import tried
from planning.kit import BAG, BITTER, bag_calibration, crystal, pale, plan_for, pot_of
from wortwright.brewing.blending import WantedBlend
from wortwright.planning.blends.blend import (
    BeerLot,
    blend_forecast,
    lot_of_plan,
    lot_of_session,
    plan_blend,
)
from wortwright.planning.blends.same_ingredients import same_ingredients
from wortwright.planning.blends.second_brew import Pair, plan_second_brew
from wortwright.planning.plan import Forecast
from wortwright.planning.refit import make_plan
from wortwright.planning.target import Preferences, Target, TargetError
from wortwright.records.recipe import VolumeAt
from wortwright.records.session import Reading, Session, Stage

KNOWN = bag_calibration()
PREFERENCES = Preferences()
PLAN = plan_for(known=KNOWN, target=Target(10.0, VolumeAt.PACKAGE))


def lot(gravity=1.044, attenuation=0.76, ibu=30.0, ebc=18.0, volume_l=10.0, spread=0.0):
    return BeerLot(
        "first",
        volume_l,
        Forecast(gravity, gravity - spread, gravity + spread),
        Forecast(attenuation, attenuation - 10 * spread, attenuation + 10 * spread),
        ibu,
        ebc,
    )


def second(pair, recipe=BITTER, setup=BAG):
    return plan_second_brew(recipe, setup, KNOWN, pair, PREFERENCES)


def by_hand(first, first_l, gravity, second_l):
    """Original gravity of the worts mixed before they fermented."""
    return pot_of(first, first_l).and_also(pot_of(gravity, second_l)).gravity


@given(st.floats(1.040, 1.056), st.floats(4.0, 10.0), st.floats(6.0, 10.0))
@tried(25)
def test_blend_of_a_pair_has_the_gravity_wanted_if_the_second_is_within_reach(
    first, first_l, second_l
):
    found = second(Pair(lot(first), first_l, second_l, WantedBlend(1.050)))
    made = found.plan.forecast.original_gravity.mean
    if "original_gravity" not in {miss.name for miss in found.misses}:
        assert by_hand(first, first_l, made, second_l) == pytest.approx(1.050, abs=0.0005)
    assert found.plan.fit.fits
    assert found.plan.fit.reaches_gravity


def test_first_brew_six_points_low_is_made_good_by_the_second():
    found = second(Pair(lot(1.044), 10.0, 10.0, WantedBlend(1.050)))
    assert "original_gravity" not in {miss.name for miss in found.misses}
    made = found.plan.forecast.original_gravity.mean
    assert by_hand(1.044, 10.0, made, 10.0) == pytest.approx(1.050, abs=0.0005)
    assert found.blend.original_gravity.mean == pytest.approx(1.050, abs=0.0005)
    assert found.blend.original_gravity.low_80 < 1.050 < found.blend.original_gravity.high_80


def test_bitterness_colour_and_attenuation_are_made_good_too():
    wanted = WantedBlend(1.050, 1.0125, bitterness_ibu=32.0, colour_ebc=22.0)
    found = second(Pair(lot(1.046, 0.74, 27.0, 18.0), 10.0, 10.0, wanted))
    assert found.reached
    assert (27.0 + found.bitterness_ibu) / 2.0 == pytest.approx(32.0, abs=0.5)
    assert (18.0 + found.colour_ebc) / 2.0 == pytest.approx(22.0, abs=1.0)
    first_final = 1.046 - 0.74 * 0.046
    assert (first_final + found.final_gravity) / 2.0 == pytest.approx(1.0125, abs=0.0005)
    assert 64.5 <= found.mash_temperature_c <= 70.0


def test_pair_beyond_the_kettle_is_answered_with_the_nearest_and_its_miss():
    # 10 L of 1.040 with 10 L that would have to be of 1.180: the kettle ends far below.
    found = second(Pair(lot(1.040), 10.0, 12.0, WantedBlend(1.110)))
    (miss,) = [miss for miss in found.misses if miss.name == "original_gravity"]
    assert miss.by < -0.005
    assert miss.got == pytest.approx(found.blend.original_gravity.mean)
    assert found.plan.fit.fits
    # Nothing stronger fits at this volume.
    stronger = Target(12.0, VolumeAt.PACKAGE, found.original_gravity + 0.002)
    assert not make_plan(found.recipe, BAG, KNOWN, stronger, PREFERENCES).fit.fits


def test_too_bitter_a_first_brew_is_answered_with_no_bitterness_at_all():
    found = second(Pair(lot(ibu=90.0), 10.0, 10.0, WantedBlend(1.050, bitterness_ibu=30.0)))
    (miss,) = [miss for miss in found.misses if miss.name == "bitterness_ibu"]
    assert miss.by > 10.0
    bittering = [hop for hop in found.plan.hop_bill if hop.purpose == "bitterness"]
    assert sum(hop.to_weigh_kg for hop in bittering) == 0.0


def test_grist_without_character_malt_cannot_mend_the_colour():
    plain = replace(BITTER, grist=(pale(5.0),))
    found = second(Pair(lot(ebc=10.0), 10.0, 10.0, WantedBlend(1.047, colour_ebc=40.0)), plain)
    assert "colour_ebc" in {miss.name for miss in found.misses}
    assert found.character_factor == 1.0


def test_volume_that_no_beer_of_the_recipe_fits_is_refused():
    with pytest.raises(TargetError):
        second(Pair(lot(), 10.0, 60.0, WantedBlend(1.050)))


def test_recipe_of_the_second_brew_fed_back_gives_its_plan():
    found = second(Pair(lot(1.044, ebc=14.0), 10.0, 10.0, WantedBlend(1.050)))
    target = Target(10.0, VolumeAt.PACKAGE, found.original_gravity, found.plan.asked.bitterness_ibu)
    again = make_plan(found.recipe, BAG, KNOWN, target, PREFERENCES)
    assert again.grain_kg == pytest.approx(found.plan.grain_kg, abs=1e-9)
    assert again.forecast.original_gravity == found.plan.forecast.original_gravity


def test_alcohol_may_be_wanted_instead_of_gravity():
    found = second(Pair(lot(1.044), 10.0, 10.0, WantedBlend(alcohol_by_volume=0.052)))
    assert found.blend.alcohol_by_volume.mean == pytest.approx(0.052, abs=0.0005)


def test_uncertain_first_brew_widens_the_blend():
    sure = second(Pair(lot(1.044), 10.0, 10.0, WantedBlend(1.050))).blend.original_gravity
    unsure = second(Pair(lot(1.044, spread=0.003), 10.0, 10.0, WantedBlend(1.050)))
    wider = unsure.blend.original_gravity
    assert wider.high_80 - wider.low_80 > sure.high_80 - sure.low_80


def test_same_ingredients_in_less_volume_put_the_blend_right():
    first = lot(1.044, volume_l=10.0)
    found = same_ingredients(BITTER, PLAN, BAG, KNOWN, first, 1.050, PREFERENCES)
    assert found.packaged_l < PLAN.water.packaged_l
    made = found.plan.forecast.original_gravity.mean
    assert by_hand(1.044, 10.0, made, found.packaged_l) == pytest.approx(1.050, abs=0.0003)
    for again, before in zip(found.plan.grist, PLAN.grist, strict=True):
        assert again.to_weigh_kg == pytest.approx(before.to_weigh_kg, abs=1e-6)
    for again, before in zip(found.plan.hop_bill, PLAN.hop_bill, strict=True):
        assert again.to_weigh_kg == pytest.approx(before.to_weigh_kg, abs=1e-6)


def test_nothing_is_left_out_where_the_first_was_not_too_weak():
    assert same_ingredients(BITTER, PLAN, BAG, KNOWN, lot(1.055), 1.050, PREFERENCES) is None


def session(*readings):
    return Session(datetime(2026, 4, 1, tzinfo=UTC), BITTER.grist, readings)


def test_first_brew_is_what_its_readings_say():
    read = session(
        Reading(Stage.FERMENTER, volume_l=10.5, gravity=1.046), Reading(Stage.FINAL, gravity=1.011)
    )
    known = lot_of_session(read, PLAN, BAG, KNOWN)
    assert known.original_gravity.mean == pytest.approx(1.046, abs=1e-6)
    assert known.lot.final_gravity == pytest.approx(1.011, abs=1e-6)
    assert known.volume_l == pytest.approx(10.5 - PLAN.water.fermenter_loss_l)
    assert known.original_gravity.high_80 - known.original_gravity.mean == pytest.approx(
        1.2816 * 0.001, rel=0.02
    )


def test_first_brew_without_readings_is_its_forecast():
    known, planned = lot_of_session(session(), PLAN, BAG, KNOWN), lot_of_plan(PLAN)
    assert known.original_gravity.mean == pytest.approx(planned.original_gravity.mean, abs=1e-6)
    assert known.lot.final_gravity == pytest.approx(PLAN.forecast.final_gravity.mean, abs=1e-5)


def test_blend_of_unlike_yeasts_may_ferment_again():
    codes = {
        f.code for f in blend_forecast((lot(attenuation=0.70), lot(attenuation=0.80))).findings
    }
    assert codes == {"ph_not_forecast", "may_ferment_again"}
    assert {f.code for f in blend_forecast((lot(), lot())).findings} == {"ph_not_forecast"}
    assert blend_forecast((lot(),)).findings == ()


def test_volumes_of_known_beers_make_the_blend_wanted():
    beers = [lot(1.044, ibu=20.0), lot(1.060, ibu=40.0)]
    found = plan_blend(beers, 8.0, WantedBlend(bitterness_ibu=35.0))
    assert found.volumes_l == pytest.approx((2.0, 6.0), abs=1e-3)
    assert found.misses == ()


def test_dark_second_brew_takes_more_character_malt():
    brown = replace(BITTER, grist=(pale(4.4), crystal(0.5)))
    found = second(Pair(lot(ebc=20.0), 10.0, 10.0, WantedBlend(1.048, colour_ebc=28.0)), brown)
    assert found.character_factor > 1.0
    assert (20.0 + found.colour_ebc) / 2.0 == pytest.approx(28.0, abs=1.0)
