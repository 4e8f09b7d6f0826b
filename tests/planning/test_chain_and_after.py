"""Vessel chain, small beer, sets and schedules."""

import dataclasses
import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import orjson
import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import tried
from planning.kit import (
    BAG,
    BARLEY_WINE,
    BITTER,
    bag_calibration,
    hop,
    mash,
    plan_for,
    pot_of,
)
from wortwright.planning.blends.blend import BeerLot
from wortwright.planning.blends.lot_figures import LotFigures, lot_of_figures
from wortwright.planning.brewhouse import Brewhouse
from wortwright.planning.plan import Asked, Forecast, Interval
from wortwright.planning.recipe import read_recipe
from wortwright.planning.schedule import Durations, schedule_brew
from wortwright.planning.set_schedule import schedule_set
from wortwright.planning.sets import SetAsked, make_set, plan_set
from wortwright.planning.spent_grain import small_beer, small_beer_of_gravity
from wortwright.planning.target import Preferences, Target, TargetError
from wortwright.planning.vessel_chain import ChainAsked, chain_back
from wortwright.records.grist import Moment, Purpose
from wortwright.records.recipe import VolumeAt
from wortwright.records.setup import Vessel

KNOWN = bag_calibration()
HOUSE = Brewhouse(read_recipe(BARLEY_WINE), BAG, KNOWN, Preferences())
BITTER_HOUSE = Brewhouse(read_recipe(BITTER), BAG, KNOWN, Preferences())
START = datetime(2026, 5, 2, 9, 0, tzinfo=UTC)


def with_ageing(*litres):
    ageing = tuple(Vessel(size, f"jug {size:g}", foam_room=0.0) for size in litres)
    return replace(HOUSE, setup=replace(BAG, vessels=replace(BAG.vessels, ageing=ageing)))


def test_ageing_vessels_are_full_to_the_neck_without_oxygen():
    chain = chain_back(HOUSE, ChainAsked(9.0))
    assert [fill.head_space_l for fill in chain.ageing] == [0.0]
    assert [fill.oxygen_mg_l for fill in chain.ageing] == [0.0]
    assert chain.surplus_l == pytest.approx(10.0 - 9.0 - 0.3)
    assert "brewed_to_the_neck" in [finding.code for finding in chain.findings]


def test_a_part_filled_vessel_is_told_with_its_oxygen():
    # 4 L of air over 15 L of beer at 20 degC bring 72.6 mg/L (moist air, 272.2 mg/L of oxygen).
    house = with_ageing(19.0)
    chain = chain_back(house, ChainAsked(14.7, cellar_c=20.0, gravity=1.060))
    (part,) = chain.part_filled
    assert (part.beer_l, part.head_space_l) == pytest.approx((15.0, 4.0))
    assert part.oxygen_mg_l == pytest.approx(72.6, abs=0.3)


def test_fewest_brews_come_first_then_the_least_beer_left_over():
    chain = chain_back(with_ageing(10.0, 12.0, 5.0), ChainAsked(9.0))
    assert chain.brews == 1
    assert [fill.capacity_l for fill in chain.ageing] == [10.0]
    two = chain_back(with_ageing(10.0, 10.0), ChainAsked(18.0))
    assert two.brews == 2
    assert two.plan.water.packaged_l == pytest.approx(10.0)


def test_volumes_of_the_chain_add_up_from_mash_to_bottle():
    chain = chain_back(HOUSE, ChainAsked(18.0))
    at = {step.at: step for step in chain.steps}
    bottled = at["ageing"].volume_l - at["ageing"].left_behind_l - chain.surplus_l
    assert bottled == pytest.approx(18.0)
    assert at["fermenter"].volume_l - at["fermenter"].left_behind_l == pytest.approx(
        at["ageing"].volume_l
    )
    assert at["kettle"].volume_l - at["kettle"].left_behind_l == pytest.approx(
        at["fermenter"].volume_l
    )
    boiled_off = chain.brews * 3.2
    assert at["boil"].volume_l - boiled_off == pytest.approx(at["kettle"].volume_l)
    assert at["mash"].volume_l - at["mash"].left_behind_l == pytest.approx(at["boil"].volume_l)


@given(st.floats(2.0, 19.0), st.floats(1.060, 1.100))
@tried(25)
def test_every_chain_fits_every_vessel(packaged_l, gravity):
    chain = chain_back(HOUSE, ChainAsked(packaged_l, gravity=gravity))
    assert chain.plan.fit.fits
    assert chain.plan.fit.reaches_gravity
    beer = sum(fill.beer_l for fill in chain.ageing)
    assert beer == pytest.approx(chain.brews * chain.plan.water.packaged_l)
    assert all(fill.beer_l == fill.capacity_l for fill in chain.ageing)
    assert beer - 0.3 * len(chain.ageing) >= packaged_l - 1e-9


def test_without_ageing_beer_is_packaged_from_the_fermenter():
    chain = chain_back(BITTER_HOUSE, ChainAsked(15.0, aged=False))
    assert chain.ageing == ()
    assert chain.plan.water.packaged_l == pytest.approx(15.0)
    assert chain.surplus_l == pytest.approx(0.0)


def test_more_than_the_vessels_hold_is_refused():
    with pytest.raises(TargetError, match="ageing vessels hold 20"):
        chain_back(HOUSE, ChainAsked(30.0))
    with pytest.raises(TargetError, match="do not make"):
        chain_back(HOUSE, ChainAsked(19.0, max_brews=1))


def test_more_brews_than_fermenters_is_said():
    one = replace(
        HOUSE, setup=replace(BAG, vessels=replace(BAG.vessels, fermenters=(Vessel(27.0),)))
    )
    chain = chain_back(one, ChainAsked(18.0))
    assert "fermenters_too_few" in [finding.code for finding in chain.findings]


@given(st.floats(4.0, 14.0))
def test_small_beer_is_what_a_second_draining_gives(rinse_l):
    plan = plan_for(known=KNOWN)
    found = small_beer(plan, KNOWN, rinse_l, 30.0)
    first = mash(plan.grain_kg, 0.75, 0.93, 0.35, 1.0, plan.water.strike_l)
    tun = first.held.with_water(rinse_l)
    second = tun.drawn(tun.litres - plan.grain_kg)
    assert found.preboil_gravity.mean == pytest.approx(second.gravity, abs=0.0003)
    assert found.extract_kg == pytest.approx(second.extract, rel=0.01)
    boiled = second.boiled(1.6)
    assert found.original_gravity.mean == pytest.approx(boiled.gravity, abs=0.0004)
    assert found.extract_kg + found.left_kg == pytest.approx(first.held.extract, rel=0.01)


def test_extract_of_both_beers_is_what_was_dissolved():
    plan = plan_for(BARLEY_WINE, known=KNOWN, target=Target(10.0, VolumeAt.FERMENTER))
    found = small_beer(plan, KNOWN, 10.0)
    dissolved = (
        plan.grain_kg * 0.75 * (0.93 - 0.35 * max(0.0, plan.grain_kg / plan.water.strike_l - 0.30))
    )
    in_kettle = pot_of(plan.forecast.preboil_gravity.mean, plan.water.preboil_l).extract
    assert found.extract_kg + found.left_kg + in_kettle == pytest.approx(dissolved, rel=0.003)


def test_small_beer_of_a_gravity_has_it():
    plan = plan_for(BARLEY_WINE, known=KNOWN, target=Target(12.0, VolumeAt.FERMENTER))
    found = small_beer_of_gravity(plan, KNOWN, 1.032)
    assert found.original_gravity.mean == pytest.approx(1.032, abs=1e-6)
    assert found.original_gravity.low_80 < 1.032 < found.original_gravity.high_80
    with pytest.raises(TargetError):
        small_beer_of_gravity(plan_for(known=KNOWN), KNOWN, 1.150)
    with pytest.raises(TargetError):
        small_beer(plan, KNOWN, 2.0)


def test_a_set_adds_up_what_its_brews_need():
    small, large = (
        plan_for(known=KNOWN, target=Target(volume, VolumeAt.FERMENTER)) for volume in (10.0, 18.0)
    )
    both = make_set((small, large))
    assert both.grain_kg == pytest.approx(small.grain_kg + large.grain_kg)
    pale = next(line for line in both.fermentables if line.name == "Pale ale malt")
    assert pale.mass_kg == pytest.approx(small.grist[0].to_weigh_kg + large.grist[0].to_weigh_kg)
    assert sum(one.mass_kg for one in both.hops) == pytest.approx(
        sum(line.to_weigh_kg for plan in (small, large) for line in plan.hop_bill)
    )
    assert both.burner_min == 120.0
    volumes = [plan.water.packaged_l for plan in (small, large)]
    worts = [
        pot_of(plan.forecast.original_gravity.mean, volume)
        for plan, volume in zip((small, large), volumes, strict=True)
    ]
    assert both.blend.volume_l == pytest.approx(sum(volumes))
    assert both.blend.original_gravity.mean == pytest.approx(
        worts[0].and_also(worts[1]).gravity, abs=1e-4
    )


HOPPY = replace(
    BITTER,
    hop_bill=(
        hop(0.02, moment=Moment.FIRST_WORT),
        hop(0.03, 60.0),
        hop(0.01, 0.0, moment=Moment.MASH),
        hop(0.03, 20.0, Purpose.AROMA, Moment.STAND, temperature_c=80.0),
        hop(0.04, 0.0, Purpose.AROMA, Moment.DRY),
    ),
)


def test_brew_day_runs_in_the_order_of_the_trade():
    plan = plan_for(HOPPY, known=KNOWN)
    schedule = schedule_brew(plan, START)
    codes = [step.code for step in schedule.steps]
    day = ["heat_strike_water", "mash_in", "drain", "read_before_boil", "boil", "chill", "pitch"]
    assert [code for code in codes if code in day] == day
    assert codes[-2:] == ["package", "ready"]
    assert schedule.steps[0].at == START
    assert all(a.at <= b.at for a, b in zip(schedule.steps, schedule.steps[1:], strict=False))


def test_hops_go_in_when_their_time_says():
    schedule = schedule_brew(plan_for(HOPPY, known=KNOWN), START)
    at = {code: step.at for step in schedule.steps for code in [step.code] if code != "hops"}
    hops = [step.at for step in schedule.steps if step.code == "hops"]
    boil_end = at["boil"] + timedelta(minutes=60)
    assert hops == sorted([at["mash_in"], at["read_before_boil"], at["boil"], boil_end])
    assert at["chill"] == boil_end + timedelta(minutes=20)


def test_strong_beer_is_aged_and_small_beer_is_not():
    strong = schedule_brew(
        plan_for(BARLEY_WINE, known=KNOWN, target=Target(10.0, VolumeAt.FERMENTER)), START
    )
    small = schedule_brew(plan_for(known=KNOWN), START)
    assert "rack" in [step.code for step in strong.steps]
    assert "rack" not in [step.code for step in small.steps]
    assert strong.ready_at > small.ready_at


def test_own_durations_count():
    own = Durations(primary_days=7, conditioning_days=10)
    schedule = schedule_brew(plan_for(known=KNOWN), START, own)
    pitched = next(step.at for step in schedule.steps if step.code == "pitch")
    assert schedule.ready_at - pitched == timedelta(days=17)


def test_a_schedule_goes_into_json():
    schedule = schedule_brew(plan_for(known=KNOWN), START)
    again = json.loads(orjson.dumps(dataclasses.asdict(schedule)))
    assert again["steps"][0]["at"] == "2026-05-02T09:00:00+00:00"


def test_brews_wait_for_a_free_fermenter():
    plans = [plan_for(known=KNOWN)] * 3
    scheduled = schedule_set(plans, START, BAG.vessels.fermenters)
    assert [brew.fermenter for brew in scheduled] == ["fermenter 1", "fermenter 2", "fermenter 1"]
    third = scheduled[2].schedule.steps[0].at
    assert third >= scheduled[0].schedule.fermenter_free_at
    assert (third.hour, third.minute) == (9, 0)
    assert scheduled[1].schedule.steps[0].at == START + timedelta(days=1)


def test_a_brew_that_no_fermenter_holds_is_refused():
    with pytest.raises(TargetError):
        schedule_set([plan_for(known=KNOWN)], START, [Vessel(15.0)])


def test_a_chain_asks_for_no_more_than_a_plan_gives():
    asked = Asked(10.0, VolumeAt.PACKAGE, 1.110, None)
    assert HOUSE.margin(asked) >= 0.0


def test_what_waits_for_the_beer_is_done_within_a_range():
    strong = plan_for(BARLEY_WINE, known=KNOWN, target=Target(10.0, VolumeAt.FERMENTER))
    schedule = schedule_brew(strong, START)
    waits = [step for step in schedule.steps if step.at > START + timedelta(days=1)]
    assert {step.code for step in waits} == {"read_gravity", "rack", "package", "ready"}
    for step in waits:
        assert step.earliest_at < step.at < step.latest_at
    (rack,) = [step for step in waits if step.code == "rack"]
    (package,) = [step for step in waits if step.code == "package"]
    # Common practice for a beer of 1.110: two to five weeks, then three to twelve months.
    pitched = next(step.at for step in schedule.steps if step.code == "pitch")
    assert (rack.earliest_at - pitched).days == 14
    assert (rack.latest_at - pitched).days == 35
    assert (package.earliest_at - rack.earliest_at).days == 90
    assert (package.latest_at - rack.latest_at).days == 365


def test_own_durations_leave_no_range():
    own = Durations(primary_days=7, ageing_days=0, conditioning_days=10)
    schedule = schedule_brew(plan_for(known=KNOWN), START, own)
    assert all(step.earliest_at in (None, step.at) for step in schedule.steps)
    assert all(step.latest_at in (None, step.at) for step in schedule.steps)


LOT = BeerLot(
    "first",
    9.0,
    Forecast(1.044, 1.043, 1.045),
    Forecast(0.76, 0.75, 0.77),
    30.0,
    20.0,
)


def test_brews_of_a_set_are_alike_until_one_is_brewed():
    whole = plan_set(BITTER, BAG, KNOWN, SetAsked(27.0, 3), Preferences())
    assert whole.plans == (whole.plans[0],) * 3
    assert whole.plans[0].water.packaged_l == pytest.approx(9.0)
    assert whole.brewed == ()


def test_brews_to_come_make_up_for_those_before_them():
    asked = SetAsked(27.0, 3, gravity=1.050, brewed=(LOT,))
    whole = plan_set(BITTER, BAG, KNOWN, asked, Preferences())
    assert len(whole.plans) == 2
    later = whole.plans[0].forecast.original_gravity.mean
    made = pot_of(1.044, 9.0).and_also(pot_of(later, 18.0))
    assert made.gravity == pytest.approx(1.050, abs=0.0005)
    assert whole.blend.volume_l == pytest.approx(27.0)
    assert "original_gravity" not in [miss.name for miss in whole.misses]


def test_a_set_with_nothing_left_to_brew_is_refused():
    for asked in (SetAsked(27.0, 1, brewed=(LOT,)), SetAsked(9.0, 3, brewed=(LOT,))):
        with pytest.raises(TargetError):
            plan_set(BITTER, BAG, KNOWN, asked, Preferences())


def test_a_beer_by_its_figures_is_as_sure_as_they_are():
    read = lot_of_figures(LotFigures(10.0, 1.050, final_gravity=1.012))
    assert read.apparent_attenuation.mean == pytest.approx(38.0 / 50.0, abs=1e-3)
    expected = lot_of_figures(LotFigures(10.0, 1.050, attenuation=0.76))
    forecast = lot_of_figures(LotFigures(10.0, 1.050, interval_80=Interval(1.047, 1.053)))
    assert expected.apparent_attenuation.mean == 0.76
    assert forecast.original_gravity == Forecast(1.050, 1.047, 1.053)

    def width(figure):
        return figure.high_80 - figure.low_80

    assert width(read.apparent_attenuation) < width(expected.apparent_attenuation)
    assert width(read.original_gravity) < width(forecast.original_gravity)
