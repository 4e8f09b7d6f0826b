from dataclasses import replace

import pytest

from planning.builders import PREFERENCES, calibration, crystal, pale, plan, recipe, setup
from wortwright.brewing.bottling import BottlePressureError
from wortwright.brewing.ions import Water
from wortwright.brewing.tables.malt_acidity import MaltClass
from wortwright.brewing.tables.packaging import BottleKind
from wortwright.brewing.tables.yeast import YeastKind
from wortwright.brewing.water_targets import IonTarget
from wortwright.planning.cellar.finishing import (
    NOTHING_ELSE,
    Finishing,
    FinishingAsked,
    KnownMalt,
    PackagingWanted,
    make_finished_plan,
)
from wortwright.planning.cellar.hops_in_store import StoredHops
from wortwright.planning.cellar.pitch import YeastAtHand
from wortwright.planning.target import Target
from wortwright.planning.water.water_at_hand import WaterAtHand
from wortwright.records.setup import LauterMethod

KNOWN = calibration()
WATER = WaterAtHand(
    Water(60.0, 10.0, 25.0, 0.0, 40.0, 70.0, 0.0, 2.318),
    ("gypsum",),
    ions=IonTarget(calcium_mg_l=100.0),
)


def finished(asked, made=None, known=KNOWN, on=None, target=None):
    made = made or recipe()
    return make_finished_plan(made, on or setup(), known, target or Target(), PREFERENCES, asked)


def test_nothing_told_is_the_plan_and_nothing_else():
    made, finishing = finished(NOTHING_ELSE)
    assert made == plan(recipe(), KNOWN)
    assert finishing == Finishing()


def test_water_is_treated_in_the_volumes_of_the_plan():
    method, runnings = LauterMethod.BATCH_SPARGE, 2
    known, on = calibration(method, runnings), setup(method, runnings)
    made, finishing = finished(FinishingAsked(water=WATER), known=known, on=on)
    (gypsum,) = finishing.water.salts
    ratio = gypsum.exact_sparge_g / gypsum.exact_mash_g
    assert ratio == pytest.approx(sum(made.water.sparge_l) / made.water.strike_l)
    total = finishing.water.source_l + finishing.water.dilution_l
    assert total == pytest.approx(made.water.total_l)


def test_the_mash_ph_is_of_the_grist_as_weighed_in_the_treated_water():
    made, finishing = finished(FinishingAsked(water=WATER))
    forecast = finishing.mash_ph
    assert [malt.malt_class for malt in forecast.malts] == [
        MaltClass.PALE,
        MaltClass.CRYSTAL_DARK,
    ]
    assert [malt.mass_kg for malt in forecast.malts] == [line.to_weigh_kg for line in made.grist]
    assert forecast.mash_temperature_c == 66.0
    more_calcium = replace(WATER, ions=IonTarget(calcium_mg_l=150.0))
    assert finished(FinishingAsked(water=more_calcium))[1].mash_ph.ph < forecast.ph


def test_a_malt_of_known_acidity_is_found_by_its_name():
    asked = FinishingAsked(water=WATER, malts=(KnownMalt("PALE MALT", MaltClass.WHEAT),))
    assert finished(asked)[1].mash_ph.malts[0].malt_class is MaltClass.WHEAT


def test_yeast_is_for_the_wort_of_the_plan():
    asked = FinishingAsked(yeast=YeastAtHand(YeastKind.ALE, 19.0))
    small, large = (finished(asked, target=Target(volume_l=volume_l)) for volume_l in (10.0, 30.0))
    ratio = large[1].pitch.cells_wanted / small[1].pitch.cells_wanted
    volumes = large[0].water.fermenter_l / small[0].water.fermenter_l
    assert ratio == pytest.approx(volumes, rel=0.01)


def test_bottles_are_for_the_beer_of_the_plan_and_refused_where_they_would_not_bear_it():
    wanted = PackagingWanted(2.4, 20.0, BottleKind.STANDARD)
    made, finishing = finished(FinishingAsked(packaging=wanted))
    # 6.0 g of sucrose a litre for 2.4 volumes at 20 degC (reference case 16).
    assert finishing.bottling.plan.sugar_g == pytest.approx(6.0 * made.water.packaged_l, rel=1e-3)
    assert finishing.bottling.plan.volumes_if_lowest > 2.4
    with pytest.raises(BottlePressureError):
        finished(FinishingAsked(packaging=replace(wanted, carbonation=3.2)))


def test_aged_hops_are_weighed_for_the_same_bitterness():
    stored = StoredHops("Challenger", 0.10, 365.0, 20.0, lost_in_half_year=0.3)
    made, finishing = finished(FinishingAsked(hops=(stored,)))
    written = plan(recipe(), KNOWN)
    (aged,) = finishing.hops
    assert made.hop_bill[0].alpha == aged.alpha
    ratio = made.hop_bill[0].exact_kg / written.hop_bill[0].exact_kg
    assert ratio == pytest.approx(0.10 / aged.alpha, rel=0.01)
    assert made.asked.bitterness_ibu == pytest.approx(written.asked.bitterness_ibu)
    assert made.recipe_reading == written.recipe_reading


def test_hops_without_a_use_change_nothing_and_are_told():
    stored = StoredHops("Target", 0.10, 365.0)
    made, finishing = finished(FinishingAsked(hops=(stored,)))
    assert made == plan(recipe(), KNOWN)
    assert "hops_not_in_recipe" in {found.code for found in finishing.hops[0].warnings}


def test_the_grist_of_the_builders_is_what_these_tests_take_it_for():
    assert [line.name for line in recipe().grist] == [pale().name, crystal().name]
