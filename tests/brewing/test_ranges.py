"""Every range that a docstring promises: its ends are taken, what lies beyond is refused."""

import math
from functools import partial

import pytest

from wortwright.brewing import (
    acids,
    alcohol,
    alkalinity,
    attenuation,
    blending,
    boil,
    bottling,
    carbonation,
    colour,
    fermentation,
    gravity,
    grist,
    heat,
    hop_storage,
    hops,
    hydrometer,
    mash_acid,
    mash_ph,
    mash_ph_offset,
    oxygen,
    priming,
    refractometer,
    repitching,
    salt_doses,
    starter,
    water_density,
    water_report,
    water_targets,
    water_treatment,
    yeast,
)
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.ions import PURE_WATER
from wortwright.brewing.tables.packaging import PrimingSugar
from wortwright.brewing.tables.yeast import YeastKind

LACTIC, PHOSPHORIC = acids.Acid.LACTIC, acids.Acid.PHOSPHORIC
SUCROSE = PrimingSugar.SUCROSE
MASH = mash_ph.Mash((mash_ph.MashedMalt(5.0, 5.7, 40.0),), PURE_WATER, 15.0)
YEAST = attenuation.YeastAttenuation(0.75, 0.04)
FORECAST = attenuation.FinalGravity(1.010, 1.008, 1.012, 0.75, tolerance_passed=False)
LOT = blending.Lot(10.0, 1.050, 1.010)


def ph_reading(ph):
    reading = mash_ph_offset.PhReading(5.4, ph, mash_ph_offset.PhInstrument.METER)
    return mash_ph_offset.learn_ph_offset([reading])


def sulfate_line(value):
    return water_report.line_meq_l(
        water_report.ReportLine(water_report.Quantity.CALCIUM, value, water_report.ReportUnit.MG_L)
    )


def treated(mash_l=20.0, sparge_l=10.0, step_g=0.1):
    volumes = water_treatment.BrewingWater(mash_l, sparge_l)
    return water_treatment.treatment_for(PURE_WATER, volumes, (), scale_step_g=step_g)


def wish_for(**ion):
    return water_targets.ion_wishes(water_targets.IonTarget(**ion))


def after_storage(alpha=0.1, rate_per_day=0.002, days=90.0, temperature_c=4.0):
    packing = hop_storage.Packing.BARRIER
    return hop_storage.alpha_after_storage(alpha, rate_per_day, days, temperature_c, packing)


RANGES = [
    ("acid pH", partial(acids.protons_per_mole, LACTIC), 2.0, 12.5),
    ("lactic acid", partial(acids.acid_mmol_per_ml, LACTIC), 1.0, 88.0),
    ("phosphoric acid", partial(acids.acid_mmol_per_ml, PHOSPHORIC), 1.0, 85.0),
    ("original extract", lambda x: alcohol.alcohol_by_mass(x, 0.0), 0.0, 42.0),
    ("apparent extract", lambda x: alcohol.real_extract_plato(12.0, x), -8.0, 12.0),
    ("original gravity", lambda x: alcohol.alcohol_by_volume(x, 0.98), 1.0, 1.190),
    ("final gravity", lambda x: alcohol.alcohol_by_volume(1.050, x), 0.970, 1.050),
    ("gravity before yeast", lambda x: alcohol.final_gravity(x, 0.75), 1.0, 1.190),
    ("attenuation", lambda x: alcohol.final_gravity(1.020, x), 0.0, 1.25),
    ("pH of bicarbonate", lambda x: alkalinity.bicarbonate_mg_l(2.0, x), 2.0, 12.5),
    ("pH of neutralised share", alkalinity.neutralised_share, 2.0, 12.5),
    ("stated attenuation", attenuation.attenuation_as_stated, 0.3, 1.1),
    ("gravity of a forecast", lambda x: attenuation.final_gravity_forecast(x, YEAST), 1.001, 1.160),
    (
        "share of sugar",
        lambda x: attenuation.final_gravity_forecast(1.050, YEAST, sugar_share=x),
        0.0,
        1.0,
    ),
    (
        "mash rest",
        lambda x: attenuation.final_gravity_forecast(1.050, YEAST, mash_temperature_c=x),
        55.0,
        80.0,
    ),
    ("alcohol of beer", lambda x: blending.original_extract_plato(x, 4.0), 0.0, 0.2),
    (
        "volume blended",
        lambda x: blending.volumes_for([LOT, LOT], x, blending.WantedBlend()),
        1e-9,
        20.0,
    ),
    ("boil-off", lambda x: boil.post_boil_volume_l(30.0, x, 60.0), 0.0, math.inf),
    ("boil time", lambda x: boil.post_boil_volume_l(30.0, 1.0, x), 0.0, math.inf),
    ("volume boiled away", lambda x: boil.boil_time_min(30.0, 30.0 - x, 3.0), 0.0, 29.99),
    ("water and gas", carbonation.co2_in_water_g_per_l, 0.0, 40.0),
    ("gas pressure", lambda x: carbonation.co2_in_water_g_per_l(20.0, x), 0.0, 10.0),
    ("gauge pressure", lambda x: carbonation.volumes_in_beer(x, 20.0), -1.01325, 30.0),
    ("beer and gas", lambda x: carbonation.volumes_in_beer(1.0, x), -2.0, 45.0),
    ("volumes of gas", lambda x: carbonation.gauge_bar_for(x, 20.0), 0.0, 100.0),
    ("pressure held", lambda x: carbonation.residual_volumes(20.0, x), 0.0, 3.0),
    ("malt colour units", colour.beer_colour_ebc, 0.0, 1e6),
    ("days to stay", lambda x: fermentation.progress([], FORECAST, x), 1.0, 60.0),
    ("gravity", gravity.plato_from_gravity, 0.970, 1.190),
    ("dry yield", lambda x: grist.as_is_yield(x, 0.04), 0.0, 1.0),
    ("moisture", lambda x: grist.as_is_yield(0.8, x), 0.0, 0.5),
    ("fine yield", lambda x: grist.coarse_from_fine(x, 0.01), 0.0, 1.0),
    ("fine-coarse difference", lambda x: grist.coarse_from_fine(0.8, x), 0.0, 0.1),
    ("mash temperature", lambda x: heat.strike_temperature_c(x, 5.0, 20.0, 15.0), 20.0, 80.0),
    ("rest reached", lambda x: heat.infusion_kg(52.0, x, 5.0, 15.0, 98.0), 52.0, 97.9),
    ("temperature at the end", lambda x: heat.cooling_rate_per_min(67.0, x, 20.0, 60.0), 20.1, 67),
    ("cooling rate", lambda x: heat.cooled_temperature_c(67.0, 20.0, x, 60.0), 0.0, math.inf),
    ("cooling time", lambda x: heat.cooled_temperature_c(67.0, 20.0, 0.01, x), 0.0, math.inf),
    ("extracted yield", lambda x: heat.wet_bag_kg(6.0, x, 6.0, 1.05), 0.0, 1.0),
    ("hop storage index", hop_storage.lost_share_from_index, 0.20, 1.2),
    ("share lost", hop_storage.loss_rate_per_day, 0.0, 0.95),
    ("hop store", hop_storage.temperature_factor, -30.0, 40.0),
    ("alpha acid stored", lambda x: after_storage(alpha=x), 0.0, 0.30),
    ("rate of loss", lambda x: after_storage(rate_per_day=x), 0.0, 0.02),
    ("days in store", lambda x: after_storage(days=x), 0.0, 3650.0),
    ("isomerisation", hops.isomerisation_rate_per_min, 0.0, 130.0),
    ("stand", lambda x: hops.stand_equivalent_min(x, 10.0), 0.0, 100.0),
    ("stand time", lambda x: hops.stand_equivalent_min(90.0, x), 0.0, math.inf),
    ("hop boil", lambda x: hops.utilisation_tinseth(x, 1.050), 0.0, 360.0),
    ("gravity of the boil", lambda x: hops.utilisation_rager(60.0, x), 0.970, 1.190),
    ("alpha acid", lambda x: hops.bitterness_ibu(0.03, x, 0.2, 20.0), 0.0, 0.30),
    ("hydrometer reading", lambda x: hydrometer.gravity_at_20(x, 20.0), 0.970, 1.190),
    ("sample", lambda x: hydrometer.gravity_at_20(1.050, x), 0.0, 40.0),
    ("calibration", lambda x: hydrometer.gravity_at_20(1.050, 20.0, x), 10.0, 25.0),
    ("mash pH wanted", lambda x: mash_acid.acid_dose_ml(MASH, x, LACTIC, 88.0), 4.7, 6.5),
    ("pH after a first part", lambda x: mash_acid.rest_of_dose(5.0, 7.0, 6.9, x), 4.7, 6.5),
    ("first part", lambda x: mash_acid.rest_of_dose(x, 5.8, 5.6, 5.4), 1e-6, 1e6),
    ("pH of the balance", partial(mash_ph.surplus_base_meq, MASH), 3.0, 10.0),
    ("hot mash", lambda x: mash_ph.ph_in_hot_mash(5.4, x), 0.0, 100.0),
    ("pH read", ph_reading, 3.0, 10.0),
    ("gravity for oxygen", lambda x: oxygen.oxygen_wanted(YeastKind.ALE, x, 20.0), 1.0, 1.190),
    ("oxygen in water", oxygen.oxygen_in_water_mg_l, 0.0, 40.0),
    ("oxygen in air", oxygen.oxygen_in_air_mg_l, 0.0, 40.0),
    ("head-space", lambda x: oxygen.head_space_oxygen_mg_l(x, 15.0, 20.0), 0.0, 1e6),
    ("carbonation wanted", lambda x: priming.priming_sugar_g(20.0, x, 0.8, SUCROSE), 0.0, 6.0),
    ("residual gas", lambda x: priming.priming_sugar_g(20.0, 2.4, x, SUCROSE), 0.0, 6.0),
    ("priming sugar", lambda x: priming.volumes_from_sugar(x, 20.0, SUCROSE), 0.0, 1e6),
    ("refractometer", lambda x: refractometer.wort_gravity(x, 1.0), 0.0, 40.0),
    ("correction factor", lambda x: refractometer.wort_gravity(12.0, x), 0.9, 1.2),
    ("reading of beer", lambda x: refractometer.beer_gravity(12.0, x), 0.0, 12.0),
    ("days of slurry", repitching.slurry_viable_share, 0.0, 28.0),
    ("share kept", lambda x: salt_doses.treat(PURE_WATER, PURE_WATER, x, ()), 0.0, 1.0),
    ("tolerance", lambda x: salt_doses.doses_for(PURE_WATER, (), (), tolerance=x), 0.0, 1.0),
    ("water", water_density.water_density_kg_per_l, 0.0, 105.0),
    ("line of a report", sulfate_line, 0.0, 10_000.0),
    ("sulfate to chloride", lambda x: water_targets.balance_wishes(x, 0.0), 0.1, 10.0),
    ("residual alkalinity", lambda x: water_targets.balance_wishes(1.0, x), -5.0, 10.0),
    ("alkalinity wanted", lambda x: wish_for(alkalinity_meq_l=x), 0.0, 80.0),
    ("ion wanted", lambda x: wish_for(calcium_mg_l=x), 0.0, 5000.0),
    ("sparge water", lambda x: treated(sparge_l=x), 0.0, 10_000.0),
    ("scale step", lambda x: treated(step_g=x), 0.001, 10.0),
    (
        "gravity to pitch",
        lambda x: yeast.pitch_rate_million_per_ml_plato(YeastKind.ALE, x),
        1.0,
        1.190,
    ),
    ("gravity of cells wanted", lambda x: yeast.cells_wanted(20.0, x, 1.0), 1.0, 1.190),
    ("pitching rate", lambda x: yeast.cells_wanted(20.0, 1.050, x), 0.1, 5.0),
    ("share of cells", yeast.pitch_risk, 0.0, 1e6),
    ("cells in a gram", lambda x: yeast.dry_packets(2e11, 11.0, x), 1e9, 5e10),
    ("days of a pack", yeast.liquid_viable_share, 0.0, 120.0),
]

ABOVE_0 = [
    ("cells to bottle", lambda x: bottling.bottling_yeast_g(20.0, x)),
    ("beer to bottle", bottling.bottling_yeast_g),
    ("malt", partial(mash_ph.malt_of_class, mash_ph.MaltClass.PALE)),
    ("slurry", lambda x: repitching.slurry_ml(x, 7.0)),
    ("beer on a cake", lambda x: repitching.cake_cells(x, 1.050, 1.010, 7.0)),
    ("volume of wort", lambda x: gravity.gravity_of_wort(0.0, x)),
    ("volume in the kettle", lambda x: grist.implied_mash_efficiency(x, 1.050, 4.0)),
    ("potential", lambda x: grist.implied_mash_efficiency(25.0, 1.050, x)),
    ("strike water", lambda x: heat.strike_temperature_c(67.0, 5.0, 20.0, x)),
    ("time of cooling", lambda x: heat.cooling_rate_per_min(67.0, 63.0, 20.0, x)),
    ("boil-off over time", lambda x: boil.boil_time_min(30.0, 25.0, x)),
    ("hopped wort", lambda x: hops.alpha_load_mg_per_l(0.03, 0.1, x)),
    ("alpha times utilisation", lambda x: hops.mass_kg_for_bitterness(30.0, 0.1, x, 20.0)),
    ("alpha in the recipe", lambda x: hop_storage.substitute_mass_kg(0.03, x, 0.1)),
    ("alpha at hand", lambda x: hop_storage.substitute_mass_kg(0.03, 0.1, x)),
    ("wort coloured", lambda x: colour.malt_colour_units([5.0], [6.0], x)),
    ("beer under air", lambda x: oxygen.head_space_oxygen_mg_l(1.0, x, 20.0)),
    ("beer primed", lambda x: priming.priming_sugar_g(x, 2.4, 0.8, SUCROSE)),
    ("beer with sugar", lambda x: priming.volumes_from_sugar(100.0, x, SUCROSE)),
    ("still starter", lambda x: starter.still_growth_factor(1e11, x)),
    ("cells of a still starter", lambda x: starter.still_growth_factor(x, 1.0)),
    ("stirred starter", lambda x: starter.stirred_growth_factor(1e11, x)),
    ("cells of a stirred starter", lambda x: starter.stirred_growth_factor(x, 1.0)),
    ("cells at hand", lambda x: starter.starter_steps(x, 2.0 * x, starter.StarterMethod.STIRRED)),
    ("mash water", lambda x: treated(mash_l=x)),
    ("wort in the fermenter", lambda x: yeast.cells_wanted(x, 1.050, 1.0)),
    ("cells wanted", lambda x: yeast.dry_packets(1e11 * x, 11.0, 1e10)),
    ("packet", lambda x: yeast.dry_packets(1e10, x)),
]


def step_beyond(end, other):
    """Less than a twentieth of the end, so that an end off by that much is seen."""
    return 0.02 * abs(end) if end else 0.01 * min(other, 100.0)


@pytest.mark.parametrize(
    ("take", "low", "high"), [row[1:] for row in RANGES], ids=[row[0] for row in RANGES]
)
def test_the_ends_of_a_range_are_taken_and_what_lies_beyond_is_refused(take, low, high):
    take(low)
    with pytest.raises(OutOfRangeError):
        take(low - step_beyond(low, high))
    if math.isfinite(high):
        take(high)
        with pytest.raises(OutOfRangeError):
            take(high + step_beyond(high, low))


@pytest.mark.parametrize("take", [row[1] for row in ABOVE_0], ids=[row[0] for row in ABOVE_0])
def test_what_must_be_above_zero_is(take):
    take(1.0)
    with pytest.raises(OutOfRangeError):
        take(0.0)
    with pytest.raises(OutOfRangeError):
        take(-1.0)
