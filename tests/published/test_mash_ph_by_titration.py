"""Mash pH and doses against a titration that never solves the balance of protons."""

from dataclasses import replace

import numpy as np
import pytest

from published import titration
from published.cases import cases
from published.extract_tables import solve
from wortwright.brewing import acids, mash_acid, mash_ph, mash_ph_offset
from wortwright.brewing.ions import Water, equivalent_mass_mg_per_meq
from wortwright.brewing.salts import salt


def malts_of(inputs):
    columns = (inputs["masses_kg"], inputs["distilled_ph"], inputs["buffering"])
    lists = [column if isinstance(column, list) else [column] for column in columns]
    return list(zip(*lists, strict=True))


def water_of(inputs):
    names = ("water_l", "alkalinity_meq_l", "calcium_meq_l", "magnesium_meq_l")
    return [inputs[name] for name in names]


def vessel_of(inputs, acids_mmol=(), gas_escapes=False):
    return titration.Vessel(malts_of(inputs), *water_of(inputs), acids_mmol, gas_escapes)


def mash_of(inputs, acids_mmol=()):
    water_l, alkalinity, calcium, magnesium = water_of(inputs)
    water = Water(
        calcium_mg_l=calcium * equivalent_mass_mg_per_meq("calcium"),
        magnesium_mg_l=magnesium * equivalent_mass_mg_per_meq("magnesium"),
        alkalinity_meq_l=alkalinity,
    )
    malts = tuple(mash_ph.MashedMalt(*malt) for malt in malts_of(inputs))
    given = tuple((acids.Acid(name), amount) for name, amount in acids_mmol)
    return mash_ph.Mash(malts, water, water_l, given)


@pytest.mark.parametrize("case", cases("mash_ph_by_titration"))
def test_mash_ph_at_the_end_of_a_titration(case):
    of = case.inputs
    given = [("lactic", of["lactic_mmol"]), ("phosphoric", of["phosphoric_mmol"])]
    assert titration.end_ph(vessel_of(of, given)) == case.printed
    assert mash_ph.mash_ph(mash_of(of, given)).ph == case.expected


@pytest.mark.parametrize("case", cases("mash_ph_linear_by_titration"))
def test_mash_ph_when_all_gas_escapes(case):
    vessel = vessel_of(case.inputs, [("strong", 20.0)], gas_escapes=True)
    assert titration.end_ph(vessel) == case.printed
    mash = mash_of(case.inputs, [("lactic", 20.0)])
    assert mash_ph.mash_ph_linear(mash) == case.expected


@pytest.mark.parametrize("case", cases("acid_by_titration"))
def test_acid_that_brings_a_mash_to_its_ph(case):
    of = case.inputs
    found = titration.acid_mmol_to(of["target_ph"], vessel_of(of), of["acid"])
    assert found == case.printed
    mash = mash_of(of)
    if of["acid"] == "strong":
        assert mash_ph.surplus_base_meq(mash, of["target_ph"]) == case.expected
    else:
        dose = mash_acid.acid_dose_ml(mash, of["target_ph"], acids.Acid.LACTIC, 88.0)
        per_ml = acids.acid_mmol_per_ml(acids.Acid.LACTIC, 88.0)
        assert dose.total * float(per_ml) == case.expected
        # A meter that reads 0.2 high wants 0.2 more of its reading, and the same acid.
        high = mash_acid.acid_dose_ml(
            replace(mash, offset_ph=0.2), of["target_ph"] + 0.2, acids.Acid.LACTIC, 88.0
        )
        assert high.total * float(per_ml) == case.expected


@pytest.mark.parametrize("case", cases("base_by_titration"))
def test_baking_soda_that_brings_a_mash_to_its_ph(case):
    of = case.inputs
    water_l, alkalinity, *hardness = water_of(of)

    def ph_with(meq):
        vessel = titration.Vessel(malts_of(of), water_l, alkalinity + meq / water_l, *hardness)
        return titration.end_ph(vessel)

    assert solve(ph_with, of["target_ph"], 0.0, 300.0) * 0.084006 == case.printed
    dose = mash_acid.base_dose_g(mash_of(of), of["target_ph"], salt("baking_soda"))
    assert dose.total == case.expected
    high = mash_acid.base_dose_g(
        replace(mash_of(of), offset_ph=0.2), of["target_ph"] + 0.2, salt("baking_soda")
    )
    assert high.total == case.expected


@pytest.mark.parametrize("case", cases("ph_fall_hot"))
def test_a_hot_mash_reads_lower(case):
    fall = 5.4 - mash_ph.ph_in_hot_mash(5.4, **case.inputs)
    assert fall == case.expected
    rise = mash_ph.ph_at_room_temperature(5.4, *case.inputs.values()) - 5.4
    assert rise == case.expected


@pytest.mark.parametrize("case", cases("ph_offset_on_a_grid"))
def test_offset_of_a_meter_on_a_grid(case):
    misses = np.atleast_1d(case.inputs["misses"])
    offsets = np.linspace(-1.0, 1.0, 20001)
    exponent = (offsets / 0.1) ** 2 + (((misses[:, None] - offsets) / 0.06) ** 2).sum(axis=0)
    weights = np.exp(-exponent / 2.0)
    weights /= weights.sum()
    mean = float(weights @ offsets)
    spread = float(weights @ (offsets - mean) ** 2)
    learnt = mash_ph_offset.learn_ph_offset(
        mash_ph_offset.PhReading(5.4, 5.4 + float(miss), mash_ph_offset.PhInstrument.METER)
        for miss in misses
    )
    if case.inputs["quantity"] == "offset":
        assert mean == case.printed
        assert learnt.offset_ph == case.expected
    else:
        assert 2.0 * (spread + 0.06**2) ** 0.5 == case.printed
        assert learnt.half_width == case.expected


@pytest.mark.parametrize("case", cases("rest_of_dose_by_line"))
def test_rest_of_a_dose_on_a_line_through_both_readings(case):
    first, before, after, target = case.inputs.values()
    line = np.polyfit([before, after], [0.0, first], 1)
    assert float(np.polyval(line, target)) - first == case.printed
    assert mash_acid.rest_of_dose(first, before, after, target) == case.expected
