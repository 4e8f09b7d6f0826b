"""Every way out is brewed once more in kilograms of extract and of water."""

from dataclasses import replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from laws import tried
from planning.kit import BAG, BARLEY_WINE, WATER, Pot, bag_calibration, mash
from wortwright.planning.brewhouse import Brewhouse
from wortwright.planning.limits import Limits, WayKind
from wortwright.planning.plan import Asked
from wortwright.planning.recipe import read_recipe
from wortwright.planning.refit import make_plan
from wortwright.planning.target import Preferences, Target
from wortwright.planning.ways.offer import offer_ways
from wortwright.records.grist import AddedTo, Kind
from wortwright.records.recipe import VolumeAt
from wortwright.records.setup import LauterMethod, Vessel

PREFERENCES = Preferences()
HOUSE = Brewhouse(read_recipe(BARLEY_WINE), BAG, bag_calibration(), PREFERENCES)
ASKED = Asked(19.0, VolumeAt.FERMENTER, 1.110, None)
WAYS = offer_ways(HOUSE, ASKED, Limits())
YIELD = 0.75
AS_WEIGHED = {Kind.BASE_MALT: YIELD, Kind.CRYSTAL_MALT: YIELD, Kind.SUGAR: 1.0}
DRY_MALT_EXTRACT = 0.95
EXPANDED = {66.0: 1.0181, 100.0: 1.0432}  # water, from Kell 1975
HOPS_KEEP_L_PER_KG = 6.0


def kinds(ways):
    return [way.kind for way in ways]


def brewed(plan):
    """Wort in the fermenter and the largest room each vessel had to give."""
    grain = sum(line.to_weigh_kg for line in plan.grist if line.added_to is AddedTo.MASH)
    run = mash(grain, YIELD, 0.93, 0.35, 1.0, plan.water.strike_l, plan.water.sparge_l).wort
    boiled = run.boiled(3.2 * plan.temperatures.boil_time_min / 60.0)
    for line in plan.grist:
        if line.added_to is AddedTo.KETTLE:
            share = AS_WEIGHED.get(line.kind, DRY_MALT_EXTRACT)
            boiled = boiled.with_extract(line.to_weigh_kg * share)
    kept = 1.5 + HOPS_KEEP_L_PER_KG * sum(hop.to_weigh_kg for hop in plan.hop_bill)
    rooms = {
        "mash": (plan.water.strike_l + 0.652 * grain) * EXPANDED[66.0],
        "boil": run.litres * EXPANDED[100.0],
    }
    return boiled.drawn(boiled.litres - kept), rooms


def test_the_case_is_out_of_reach_in_one_mash():
    plan = HOUSE.plan(ASKED)
    assert not plan.fit.fits
    _, rooms = brewed(plan)
    assert rooms["mash"] > 35.0


def test_at_least_four_different_ways_lead_out():
    assert len(set(kinds(WAYS))) >= 4
    assert {WayKind.LARGEST_VOLUME, WayKind.STRONGEST_BEER, WayKind.SEVERAL_BREWS} <= set(
        kinds(WAYS)
    )


@pytest.mark.parametrize("way", WAYS, ids=kinds(WAYS))
def test_each_way_gives_what_it_says_by_mass_balance(way):
    wort, rooms = brewed(way.plan)
    assert wort.gravity == pytest.approx(way.original_gravity, abs=0.0007)
    assert way.brews * wort.litres == pytest.approx(way.volume_l, abs=0.1 * way.brews)
    assert rooms["mash"] <= 35.0 * 0.95 + 0.1
    assert rooms["boil"] <= 35.0 * 0.80 + 0.1
    assert wort.litres <= 27.0 * 0.80 + 0.05


@pytest.mark.parametrize("way", WAYS, ids=kinds(WAYS))
def test_each_way_is_a_whole_plan_with_its_costs(way):
    assert way.plan.fit.fits
    assert way.plan.fit.reaches_gravity
    assert way.burner_min == way.brews * way.plan.temperatures.boil_time_min
    assert way.grain_kg == pytest.approx(way.brews * way.plan.grain_kg)
    assert way.plan.forecast.original_gravity.low_80 < way.original_gravity
    if way.kind is not WayKind.LARGEST_VOLUME and way.kind is not WayKind.STRONGEST_BEER:
        assert way.risks


def calibration_of(way):
    rinsed = HOUSE.rinsed()
    return rinsed.calibration if way.setup == rinsed.setup else HOUSE.calibration


@pytest.mark.parametrize("way", WAYS, ids=kinds(WAYS))
def test_each_way_fed_back_is_the_same_plan(way):
    asked = way.plan.asked
    target = Target(asked.volume_l, asked.volume_at, asked.gravity)
    recipe, setup = way.recipe or BARLEY_WINE, way.setup or BAG
    assert make_plan(recipe, setup, calibration_of(way), target, PREFERENCES) == way.plan


def costs(way):
    return (
        max(0.0, ASKED.volume_l - way.volume_l),
        abs(ASKED.gravity - way.original_gravity),
        way.brews,
        way.burner_min,
        way.grain_kg,
        way.added_extract_kg,
        way.rinse_l,
        len(way.risks),
    )


def test_no_way_is_beaten_by_another_in_every_respect():
    for one in WAYS:
        for other in WAYS:
            if one is not other:
                assert any(a > b for a, b in zip(costs(one), costs(other), strict=True))


def test_limits_of_the_brewer_are_kept():
    ways = offer_ways(HOUSE, ASKED, Limits(no_extract=True, max_boil_min=120.0, max_brews=2))
    assert WayKind.MALT_EXTRACT not in kinds(ways)
    assert all(way.plan.temperatures.boil_time_min <= 120.0 for way in ways)
    assert len(set(kinds(ways))) >= 4
    strict = Limits(no_extract=True, no_sugar=True, no_rinse=True, max_boil_min=60.0, max_brews=1)
    assert set(kinds(offer_ways(HOUSE, ASKED, strict))) == {
        WayKind.LARGEST_VOLUME,
        WayKind.STRONGEST_BEER,
    }


def test_added_extract_stays_within_its_share():
    for way in WAYS:
        added = sum(
            line.share_of_extract for line in way.plan.grist if line.added_to is AddedTo.KETTLE
        )
        assert added <= Limits().largest_extract_share + 0.002


def test_the_brewer_s_order_comes_first():
    liked = (WayKind.STRONGEST_BEER, WayKind.SEVERAL_BREWS)
    ways = offer_ways(HOUSE, ASKED, Limits(prefer=liked))
    assert tuple(kinds(ways))[:2] == liked
    assert set(kinds(ways)) == set(kinds(WAYS))


def test_several_brews_are_as_few_as_make_the_volume():
    (way,) = [w for w in WAYS if w.kind is WayKind.SEVERAL_BREWS]
    assert way.brews == 2
    assert way.volume_l == pytest.approx(19.0)
    more = replace(ASKED, volume_l=40.0)
    several = [
        w for w in offer_ways(HOUSE, more, Limits(max_brews=4)) if w.kind is WayKind.SEVERAL_BREWS
    ]
    assert several[0].brews == 3


def test_a_longer_boil_helps_where_more_water_washes_more_out():
    # A mash tun apart from the kettle and a sparge: here the kettle is what sets the limit.
    tun = replace(
        BAG,
        lauter_method=LauterMethod.BATCH_SPARGE,
        vessels=replace(BAG.vessels, kettle=Vessel(60.0), mash_tun=Vessel(29.0, "mash tun")),
    )
    house = replace(HOUSE, setup=tun, calibration=bag_calibration(method=LauterMethod.BATCH_SPARGE))
    ways = offer_ways(house, ASKED, Limits())
    (longer,) = [way for way in ways if way.kind is WayKind.LONGER_BOIL]
    (plain,) = [way for way in ways if way.kind is WayKind.LARGEST_VOLUME]
    assert longer.volume_l > plain.volume_l
    wort, _ = brewed(longer.plan)
    assert wort.gravity == pytest.approx(1.110, abs=0.0007)


def test_sugar_leaves_a_drier_beer():
    (sugared,) = [way for way in WAYS if way.kind is WayKind.SUGAR]
    (plain,) = [way for way in WAYS if way.kind is WayKind.LARGEST_VOLUME]
    assert sugared.plan.forecast.final_gravity.mean < plain.plan.forecast.final_gravity.mean - 0.001


targets = st.tuples(st.floats(12.0, 40.0), st.floats(1.060, 1.120))
limits = st.builds(
    Limits,
    no_extract=st.booleans(),
    no_sugar=st.booleans(),
    no_rinse=st.booleans(),
    max_boil_min=st.sampled_from([60.0, 90.0, 120.0]),
    max_brews=st.integers(1, 3),
)


@given(targets, limits)
@tried(20)
def test_every_way_fits_every_vessel_and_ends_where_it_says(target, limited):
    asked = Asked(target[0], VolumeAt.FERMENTER, target[1], None)
    for way in offer_ways(HOUSE, asked, limited):
        assert way.plan.fit.fits
        wort, rooms = brewed(way.plan)
        assert wort.gravity == pytest.approx(way.original_gravity, abs=0.0007)
        assert rooms["mash"] <= 35.0 * 0.95 + 0.1
        assert rooms["boil"] <= 35.0 * 0.80 + 0.1


def prices(way, asked):
    """What a brewer would rather have less of."""
    return (
        asked.volume_l - min(way.volume_l, asked.volume_l),
        abs(asked.gravity - way.original_gravity),
        way.brews,
        way.burner_min,
        way.grain_kg,
        way.added_extract_kg,
        way.rinse_l,
        len(way.risks),
    )


def no_worse(one, other, asked):
    pairs = zip(prices(one, asked), prices(other, asked), strict=True)
    return all(mine <= theirs + 1e-4 for mine, theirs in pairs)


@given(targets, limits)
@example((15.25, 1.1015625), Limits(no_extract=True, max_boil_min=60.0, max_brews=1))
@tried(15)
def test_who_allows_more_is_never_offered_less(target, limited):
    asked = Asked(target[0], VolumeAt.FERMENTER, target[1], None)
    freer = replace(limited, no_extract=False, max_brews=limited.max_brews + 1, max_boil_min=150.0)

    def nearest(ways):
        """Most volume at the gravity asked for."""
        return max((w.volume_l for w in ways if w.original_gravity >= asked.gravity), default=0.0)

    strict, free = offer_ways(HOUSE, asked, limited), offer_ways(HOUSE, asked, freer)
    assert nearest(free) >= min(nearest(strict), asked.volume_l) - 1e-6
    for way in strict:
        kept = [other for other in free if other.kind == way.kind]
        assert kept or any(no_worse(other, way, asked) for other in free)


def test_the_balance_of_these_tests_agrees_with_a_published_case():
    # No sparge: 5 kg, yield 0.77, conversion 0.95, 31.00 L of water, 1.051 L/kg truly held:
    # 28.00 L at 10.57 degP (mass balance by hand).
    run = mash(5.0, 0.77, 0.95, 0.0, 1.051, 31.0)
    assert run.wort.litres == pytest.approx(28.0, abs=0.02)
    percent = 100.0 * run.wort.extract / (run.wort.extract + run.wort.water)
    assert percent == pytest.approx(10.57, abs=0.02)
    assert Pot(0.0, WATER).litres == pytest.approx(1.0, abs=1e-4)
