"""Lautering and its water against a mash that is weighed step by step."""

import pytest

from published import mash_by_steps as steps
from published.cases import cases
from published.extract_tables import solve
from wortwright.brewing import continuous_sparge, lautering, mash_water
from wortwright.brewing.gravity import extract_kg


@pytest.mark.parametrize("case", cases("batch_sparge_by_steps"))
def test_batch_sparge_step_by_step(case):
    runnings = case.inputs["runnings_l"]
    runnings = runnings if isinstance(runnings, list) else [runnings]
    assert steps.efficiency(**{**case.inputs, "runnings_l": runnings}) == case.printed
    found = lautering.batch_sparge_efficiency(runnings, case.inputs["retained_l"])
    assert found == case.expected


@pytest.mark.parametrize("case", cases("equal_batch_sparge_by_steps"))
def test_equal_run_offs_step_by_step(case):
    grain_kg, preboil_l, count, retained_l = case.inputs.values()
    runnings = [preboil_l / count] * int(count)
    assert steps.efficiency(grain_kg, 0.77, 0.95, runnings, retained_l) == case.printed
    found = lautering.equal_batch_sparge_efficiency(preboil_l, int(count), retained_l)
    assert found == case.expected


@pytest.mark.parametrize("case", cases("retained_by_steps"))
def test_wort_left_behind_that_explains_an_efficiency(case):
    grain_kg, preboil_l, count, efficiency = case.inputs.values()
    runnings = [preboil_l / count] * int(count)

    def efficiency_with(retained_l):
        return steps.efficiency(grain_kg, 0.77, 0.95, runnings, retained_l)

    assert solve(efficiency_with, efficiency, 0.1, 40.0) == case.printed
    found = lautering.retained_after_batch_sparge_l(preboil_l, int(count), efficiency)
    assert found == case.expected


@pytest.mark.parametrize("case", cases("batch_sparge_as_stated"))
def test_batch_sparge_recovers_what_is_stated(case):
    load, count = case.inputs["grain_load"], int(case.inputs["runnings"])
    found = lautering.equal_batch_sparge_efficiency(1.0, count, 1.5 * load)
    assert 100.0 * found == case.expected


@pytest.mark.parametrize("case", cases("no_sparge_as_stated"))
def test_no_sparge_takes_as_much_more_grain_as_is_stated(case):
    of = case.inputs
    found = lautering.no_sparge_efficiency(1.0, of["true_l_per_kg"] * of["grain_load"])
    assert 100.0 * (of["sparged_efficiency"] / found - 1.0) == case.expected


@pytest.mark.parametrize("case", cases("unwashed_share_by_steps"))
def test_washing_of_a_bed_in_time(case):
    displacements = case.inputs["displacements"]
    left = steps.bed_washed(displacements)
    if case.inputs["quantity"] == "slope":
        assert -left[-1] == case.printed
        assert continuous_sparge.unwashed_share_slope(displacements) == case.expected
    else:
        assert sum(left) / len(left) == case.printed
        assert continuous_sparge.unwashed_share(displacements) == case.expected


@pytest.mark.parametrize("case", cases("continuous_sparge_by_steps"))
def test_continuous_sparge_in_time(case):
    assert steps.continuous(**case.inputs) == case.printed
    assert continuous_sparge.continuous_sparge_efficiency(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("batch_sparge_slope_by_steps"))
def test_slope_of_a_batch_sparge(case):
    runnings, retained_l = case.inputs.values()
    runnings = runnings if isinstance(runnings, list) else [runnings]
    found = steps.slope(lambda held: steps.efficiency(6.0, 0.77, 0.95, runnings, held), retained_l)
    assert found == case.printed
    assert lautering.batch_sparge_slope(runnings, retained_l) == case.expected


@pytest.mark.parametrize("case", cases("continuous_sparge_slopes_by_steps"))
def test_slopes_of_a_continuous_sparge(case):
    of = dict(case.inputs)
    by = of.pop("by")
    moved = by.removeprefix("by_") + ("_l" if by in {"by_mash_wort", "by_retained"} else "")
    found = steps.slope(lambda value: steps.continuous(**{**of, moved: value}), of[moved])
    assert found == case.printed
    assert getattr(continuous_sparge.continuous_sparge_slopes(**of), by) == case.expected


@pytest.mark.parametrize("case", cases("apparent_absorption_by_steps"))
def test_water_in_minus_wort_out(case):
    grain_kg, extract_yield, conversion, water_l, held = case.inputs.values()
    tun = steps.mash(grain_kg, extract_yield, conversion, water_l)
    (wort,), _ = steps.run_off(tun, [], held * grain_kg)
    assert (water_l - wort.litres) / grain_kg == case.printed
    apparent = mash_water.apparent_absorption_l_per_kg(held, extract_yield, conversion)
    assert apparent == case.expected


@pytest.mark.parametrize("case", cases("true_absorption_by_steps"))
def test_wort_of_the_mash_less_wort_drained(case):
    grain_kg, extract_yield, conversion, water_l, preboil_l = case.inputs.values()
    tun = steps.mash(grain_kg, extract_yield, conversion, water_l)
    assert (tun.litres - preboil_l) / grain_kg == case.printed
    apparent = (water_l - preboil_l) / grain_kg
    found = mash_water.true_absorption_l_per_kg(apparent, extract_yield, conversion)
    assert found == case.expected


@pytest.mark.parametrize("case", cases("no_sparge_by_steps"))
def test_no_sparge_from_the_water_that_goes_in(case):
    grain_kg, extract_yield, conversion, water_l, held = case.inputs.values()
    tun = steps.mash(grain_kg, extract_yield, conversion, water_l)
    (wort,), _ = steps.run_off(tun, [], held * grain_kg)
    assert wort.extract / tun.extract == case.printed
    apparent = mash_water.apparent_absorption_l_per_kg(held, extract_yield, conversion)
    found = lautering.no_sparge_efficiency(water_l - apparent * grain_kg, held * grain_kg)
    assert found == case.expected


@pytest.mark.parametrize("case", cases("conversion_by_steps"))
def test_conversion_from_the_strength_of_the_wort(case):
    of = case.inputs
    wort = steps.mash(of["grain_kg"], of["extract_yield"], case.expected.value, of["water_l"])
    assert wort.plato == pytest.approx(of["plato"], abs=0.00005)
    found = mash_water.conversion_from_first_wort(
        of["plato"], of["water_l"], of["grain_kg"], of["extract_yield"]
    )
    assert found == case.expected


@pytest.mark.parametrize("case", cases("mash_wort_by_steps"))
def test_volume_of_wort_in_the_mash(case):
    water_l, extract = case.inputs.values()
    assert steps.Wort(water_l * steps.WATER_KG_PER_L, extract).litres == case.printed
    assert mash_water.mash_wort_l(water_l, extract) == case.expected


@pytest.mark.parametrize("case", cases("mash_water_by_steps"))
def test_water_that_gives_the_run_offs_wanted(case):
    of = case.inputs
    retained_l = of["true_l_per_kg"] * of["grain_kg"] + of["dead_space_l"]
    tun = steps.mash(of["grain_kg"], of["extract_yield"], of["conversion"], 0.0)
    strike_l = steps.water_for(of["first_l"], tun, retained_l)
    apparent = mash_water.apparent_absorption_l_per_kg(
        of["true_l_per_kg"], of["extract_yield"], of["conversion"]
    )
    grain = (of["grain_kg"], apparent, of["dead_space_l"])
    if of["quantity"] == "strike":
        assert strike_l == case.printed
        assert mash_water.strike_water_l(of["first_l"], *grain) == case.expected
        return
    _, left = steps.run_off(tun.plus_water(strike_l), [], retained_l)
    assert steps.water_for(of["second_l"], left, retained_l) == case.printed
    both_l = of["first_l"] + of["second_l"]
    assert mash_water.sparge_water_l(both_l, strike_l, *grain) == case.expected


@pytest.mark.parametrize("case", cases("mash_volume_by_parts"))
def test_room_of_a_mash_added_up(case):
    grain_kg, water_l = case.inputs.values()
    assert steps.mash_litres(water_l, grain_kg, 0.77, 0.95) == case.printed
    assert mash_water.mash_volume_l(water_l, grain_kg) == case.expected


@pytest.mark.parametrize("case", cases("no_sparge_grain_by_steps"))
def test_grain_for_a_gravity_without_sparge(case):
    gravity, preboil_l, *grain = case.inputs.values()
    assert steps.no_sparge_grain_kg(gravity, preboil_l, *grain) == case.printed
    extract = extract_kg(preboil_l, gravity)
    assert lautering.no_sparge_grain_kg(extract, preboil_l, *grain) == case.expected
