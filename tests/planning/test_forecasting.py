"""The forecast: intervals in order, and what to keep in reserve by an independent balance."""

from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from laws import tried
from planning.builders import (
    calibration,
    calibrations,
    crystal,
    hop,
    pale,
    plan,
    recipe,
    recipe_of_this_setup,
    recipes,
    sugar,
)
from wortwright.brewing.gravity import (
    WATER_DENSITY_20_KG_PER_L,
    gravity_from_plato,
    plato_from_gravity,
)
from wortwright.calibration.attenuation import AttenuationPosterior, KnownYeast
from wortwright.calibration.posterior import Calibration
from wortwright.planning.plan import Forecast
from wortwright.planning.target import Target
from wortwright.records.grist import AddedTo
from wortwright.records.recipe import MashStep, Recipe, VolumeAt, Yeast


def mixed_gravity(volume_l: float, gravity: float, extract_kg: float, water_kg: float) -> float:
    """Gravity after extract and water are stirred in: by mass, and mass alone."""
    wort_kg = volume_l * gravity * WATER_DENSITY_20_KG_PER_L
    total_kg = wort_kg + extract_kg + water_kg
    all_extract_kg = wort_kg * plato_from_gravity(gravity) / 100.0 + extract_kg
    return gravity_from_plato(100.0 * all_extract_kg / total_kg)


@tried(100)
@given(made=recipes(), known=calibrations(), gravity=st.floats(1.035, 1.10))
def test_what_is_in_reserve_brings_either_end_to_the_gravity_wanted(
    made: Recipe, known: Calibration, gravity: float
) -> None:
    got = plan(recipe_of_this_setup(made, known), known, None, Target(gravity=gravity))
    assume(got.fit.reaches_gravity)
    assume("character_malts_too_much" not in {finding.code for finding in got.warnings})
    original, reserve, volume_l = (
        got.forecast.original_gravity,
        got.in_reserve,
        got.water.postboil_l,
    )
    # Dry extract as weighed is 98 % extract of the 97 % that is not moisture.
    extract_kg = reserve.dry_extract_kg * 0.98 * 0.97
    low = mixed_gravity(volume_l, original.low_80, extract_kg, reserve.dry_extract_kg - extract_kg)
    high = mixed_gravity(
        volume_l, original.high_80, 0.0, reserve.top_up_l * WATER_DENSITY_20_KG_PER_L
    )
    # Tenths of a point: the extract's moisture and the rounded volume of dissolved extract.
    assert low == pytest.approx(gravity, abs=3e-4)
    assert high == pytest.approx(gravity, abs=1e-4)
    assert reserve.dry_extract_kg > 0.0
    assert reserve.top_up_l > 0.0


def intervals(known: Calibration, made: Recipe, gravity: float) -> dict[str, Forecast]:
    beer = plan(made, known, None, Target(gravity=gravity)).forecast
    return {
        name: value for name in beer.__slots__ if isinstance(value := getattr(beer, name), Forecast)
    }


@tried(100)
@given(made=recipes(), known=calibrations(), gravity=st.floats(1.03, 1.11))
def test_every_interval_holds_its_mean(made: Recipe, known: Calibration, gravity: float) -> None:
    found = intervals(known, recipe_of_this_setup(made, known), gravity)
    assert len(found) == 7
    for name, value in found.items():
        assert value.low_80 < value.mean < value.high_80, name


def test_the_less_is_known_the_wider_are_the_intervals() -> None:
    made = recipe_of_this_setup(recipe(), calibration())
    vague = intervals(calibration(curve_sd=0.08), made, 1.060)
    sharp = intervals(calibration(curve_sd=0.01), made, 1.060)
    for name in ("mash_efficiency", "original_gravity", "final_gravity", "alcohol_by_volume"):
        width = {
            key: now[name].high_80 - now[name].low_80
            for key, now in {"vague": vague, "sharp": sharp}.items()
        }
        assert width["vague"] > width["sharp"], name


def test_an_eighty_per_cent_interval_is_one_point_28_spreads_of_the_logarithm() -> None:
    # Normal law: 80 % lies within 1.2816 sd (any table of the normal distribution).
    known = calibration(curve_sd=0.0, brew_log_sd=0.03)
    efficiency = plan(recipe_of_this_setup(recipe(), known), known).forecast.mash_efficiency
    assert efficiency.high_80 / efficiency.mean == pytest.approx(1.0 + 1.2816 * 0.03, abs=0.001)


def test_efficiency_into_the_fermenter_is_less_by_what_stays_in_the_kettle() -> None:
    # Chain of efficiencies: conversion x lauter x 21.0 of 22.5 L.
    known = calibration(kettle_loss_l=1.5)
    made = recipe(volume_l=21.0, volume_at=VolumeAt.FERMENTER, hop_bill=())
    beer = plan(recipe_of_this_setup(made, known), known).forecast
    assert beer.brewhouse_efficiency.mean == pytest.approx(beer.mash_efficiency.mean * 21.0 / 22.5)


def test_attenuation_is_the_recipes_own_else_the_yeasts_else_the_usual() -> None:
    known = calibration()
    own = recipe(original_gravity=1.060, final_gravity=1.012, yeast=Yeast("Ale", 0.70))
    assert plan(own, known).forecast.apparent_attenuation == pytest.approx(0.80)
    neutral = {"original_gravity": 1.060, "mash": (MashStep(67.0, 60.0),)}
    by_yeast = recipe(**neutral, yeast=Yeast("Ale", 0.70))
    assert plan(by_yeast, known).forecast.apparent_attenuation == pytest.approx(0.70)
    assert plan(recipe(**neutral), known).forecast.apparent_attenuation == pytest.approx(0.75)


@pytest.mark.parametrize(("mash_c", "least", "most"), [(64.5, 0.77, 0.79), (69.5, 0.69, 0.71)])
def test_a_cool_mash_ferments_further_unless_the_recipe_tells_its_gravities(
    mash_c: float, least: float, most: float
) -> None:
    # Common practice: 2 to 4 points more at 64 to 65 degC, 4 to 6 less at 69 to 70.
    rest = (MashStep(40.0, 90.0), MashStep(mash_c, 60.0), MashStep(76.0, 60.0))
    made = recipe(original_gravity=1.050, mash=rest)
    assert least <= plan(made, calibration()).forecast.apparent_attenuation <= most
    told = recipe(original_gravity=1.060, final_gravity=1.012, mash=rest)
    assert plan(told, calibration()).forecast.apparent_attenuation == pytest.approx(0.80)


def test_what_the_setup_learnt_moves_and_narrows_the_final_gravity() -> None:
    def known(mean: float, sd: float) -> Calibration:
        learnt = AttenuationPosterior(
            (KnownYeast("Ale", 0.75, 20),),
            (-0.02, -0.016, mean),
            ((sd**2, 0.0, 0.0), (0.0, 0.006**2, 0.0), (0.0, 0.0, sd**2)),
            20,
        )
        return calibration(attenuation=learnt)

    made = recipe(
        original_gravity=1.050, mash=(MashStep(67.0, 60.0),), yeast=Yeast("ALE ", 0.75), hop_bill=()
    )
    before = plan(made, calibration()).forecast
    after = plan(made, known(-0.03, 0.002)).forecast
    assert after.apparent_attenuation == pytest.approx(0.75 - 0.02 - 0.03)
    assert after.final_gravity.mean > before.final_gravity.mean
    assert after.alcohol_by_volume.mean < before.alcohol_by_volume.mean
    assert after.attenuation_sd < 0.6 * before.attenuation_sd
    # A recipe that promises 80 % is believed only as far as the yeast is not known.
    promised = replace(made, final_gravity=1.010)
    learnt = plan(promised, known(-0.03, 0.002)).forecast
    assert learnt.apparent_attenuation == pytest.approx(0.70, abs=0.002)
    untold = plan(replace(promised, yeast=None), known(-0.03, 0.002)).forecast
    assert untold.apparent_attenuation == pytest.approx(0.80 - 0.02)


def test_a_usual_beer_has_the_alcohol_of_the_tables() -> None:
    # 1.050 to 1.0125: 4.9 % by volume in any table after Balling.
    known = calibration()
    rest = (MashStep(67.0, 60.0),)
    made = recipe(grist=(pale(5.0),), original_gravity=1.050, efficiency=None, mash=rest)
    beer = plan(made, known).forecast
    assert beer.final_gravity.mean == pytest.approx(1.0125, abs=2e-4)
    assert beer.alcohol_by_volume.mean == pytest.approx(0.049, abs=0.001)


def test_sugar_in_the_fermenter_makes_alcohol_but_no_original_gravity() -> None:
    known = calibration()
    plain = recipe_of_this_setup(recipe(grist=(pale(),)), known)
    grist = (*plain.grist, sugar(0.5, added_to=AddedTo.FERMENTER))
    primed = recipe(grist=grist, original_gravity=plain.original_gravity, efficiency=None)
    before, after = plan(plain, known).forecast, plan(primed, known).forecast
    assert after.original_gravity == before.original_gravity
    # Half a kilogram gives 0.5 / 2.0665 kg, or 0.307 L, of alcohol in the fermenter's 18.6 L.
    wort_l, alcohol_l = plan(primed, known).water.fermenter_l, 0.3066
    gained_l = (wort_l + alcohol_l) * after.alcohol_by_volume.mean - (
        wort_l * before.alcohol_by_volume.mean
    )
    assert gained_l == pytest.approx(alcohol_l, abs=0.001)
    # and it weighs 0.242 kg, so the beer is lighter
    mass = wort_l * before.final_gravity.mean * 0.9982 + 0.242
    assert after.final_gravity.mean == pytest.approx(mass / (wort_l + alcohol_l) / 0.9982, abs=1e-4)


def test_colour_is_that_of_the_worked_case() -> None:
    # 4.5 kg of 3 degL and 0.3 kg of 60 degL in 20 L: 17.2 EBC by Morey.
    malts = (pale(4.5, colour_ebc=3 * 1.97), crystal(0.3, colour_ebc=60 * 1.97))
    known = calibration()
    got = plan(recipe_of_this_setup(recipe(grist=malts), known), known)
    assert got.forecast.colour_ebc == pytest.approx(17.2, abs=0.05)
    assert got.recipe_reading.colour_ebc == pytest.approx(17.2, abs=0.05)


def test_a_mash_beyond_the_scale_of_gravity_has_no_potential_gravity() -> None:
    made = recipe(original_gravity=1.150, efficiency=None)
    got = plan(made, calibration(loss=0.0, absorption=1.3))
    assert got.forecast.grain_load_kg_per_l * 0.77 > 0.50
    assert got.forecast.potential_gravity is None
    usual = plan(recipe_of_this_setup(recipe(hop_bill=(hop(),)), calibration()), calibration())
    assert usual.forecast.potential_gravity is not None


def test_shares_are_of_the_extract_in_the_beer() -> None:
    known = calibration()
    own = recipe_of_this_setup(recipe(grist=(pale(5.0), sugar(0.5))), known)
    got = plan(own, known)
    shares = [line.share_of_extract for line in got.grist]
    assert sum(shares) == pytest.approx(1.0)
    malt_kg = 5.0 * 0.77 * got.forecast.mash_efficiency.mean
    assert shares[1] == pytest.approx(0.5 / (0.5 + malt_kg), rel=1e-6)


def test_an_interval_ends_where_the_scale_of_gravity_does() -> None:
    # A small brew that boils off much: what may be left is very strong wort, if any.
    known = calibration(boil_off_l_per_h=9.0)
    made = recipe(original_gravity=1.120, efficiency=None, boil_time_min=120.0, hop_bill=())
    original = plan(made, known, None, Target(4.0, gravity=1.160)).forecast.original_gravity
    assert original.low_80 < original.mean < original.high_80 == 1.190
