import math

import pytest

from published.cases import cases
from wortwright.brewing import hops


@pytest.mark.parametrize("case", cases("utilisation_tinseth"))
def test_utilisation_tinseth(case):
    assert hops.utilisation_tinseth(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("tinseth_mass_ratio"))
def test_mass_for_equal_bitterness_by_tinseth(case):
    at_1050 = hops.mass_kg_for_bitterness(30.0, 0.10, hops.utilisation_tinseth(60.0, 1.050), 20.0)
    here = hops.mass_kg_for_bitterness(
        30.0, 0.10, hops.utilisation_tinseth(60.0, **case.inputs), 20.0
    )
    assert here / at_1050 == case.expected


@pytest.mark.parametrize("case", cases("utilisation_rager"))
def test_utilisation_rager_keeps_to_the_steps(case):
    assert hops.utilisation_rager(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("rager_gravity_rule_ibu"))
def test_gravity_rule_of_rager(case):
    rule = hops.utilisation_rager(60.0, case.inputs["gravity"]) / hops.utilisation_rager(60.0, 1.0)
    assert case.inputs["uncorrected_ibu"] * rule == case.expected


@pytest.mark.parametrize("case", cases("bitterness_rager_ibu"))
def test_bitterness_rager(case):
    of = dict(case.inputs)
    utilisation = hops.utilisation_rager(of.pop("time_min"), of.pop("gravity"))
    assert hops.bitterness_ibu(**of, utilisation=utilisation) == case.expected


@pytest.mark.parametrize("case", cases("bitterness_tinseth_ibu"))
def test_bitterness_tinseth(case):
    of = dict(case.inputs)
    utilisation = hops.utilisation_tinseth(of.pop("time_min"), of.pop("gravity"))
    assert hops.bitterness_ibu(**of, utilisation=utilisation) == case.expected


def test_top_up_after_a_partial_boil_dilutes_the_bitterness():
    # 28 g, 10 %, 60 min, 12 L at 1.083 topped up to 20 L: 24.01 IBU, worked by hand.
    in_kettle = hops.bitterness_ibu(0.028, 0.10, hops.utilisation_tinseth(60.0, 1.083), 12.0)
    assert in_kettle * 12.0 / 20.0 == pytest.approx(24.01, abs=0.005)


@pytest.mark.parametrize("case", cases("hop_mass_tinseth_g"))
def test_mass_for_a_bitterness(case):
    of = dict(case.inputs)
    utilisation = hops.utilisation_tinseth(of.pop("time_min"), of.pop("gravity"))
    assert 1000.0 * hops.mass_kg_for_bitterness(**of, utilisation=utilisation) == case.expected


@pytest.mark.parametrize("case", cases("hop_mass_rescaled_g"))
def test_mass_that_keeps_the_bitterness_in_another_brew(case):
    of = case.inputs
    ibu = hops.bitterness_ibu(
        of["mass_g"] / 1000.0,
        of["alpha"],
        hops.utilisation_tinseth(of["time_min"], of["gravity"]),
        of["volume_l"],
    )
    mass = hops.mass_kg_for_bitterness(
        ibu,
        of["new_alpha"],
        hops.utilisation_tinseth(of["new_time_min"], of["new_gravity"]),
        of["new_volume_l"],
    )
    assert 1000.0 * mass == case.expected


@pytest.mark.parametrize("case", cases("alpha_load_mg_per_l"))
def test_alpha_load(case):
    assert hops.alpha_load_mg_per_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("isomerisation_rate_per_min"))
def test_isomerisation_rate(case):
    assert hops.isomerisation_rate_per_min(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("iso_alpha_yield_percent"))
def test_yield_of_the_kinetics(case):
    # k2, the loss of iso-alpha acid, from the same paper: the code has no use for it.
    kelvin = case.inputs["temperature_c"] + 273.15
    k1 = hops.isomerisation_rate_per_min(case.inputs["temperature_c"])
    k2 = 4.1e12 * math.exp(-12994.0 / kelvin)
    time_min = case.inputs["time_min"]
    share = k1 / (k1 - k2) * (math.exp(-k2 * time_min) - math.exp(-k1 * time_min))
    assert 100.0 * share == case.expected


@pytest.mark.parametrize("case", cases("stand_equivalent_min"))
def test_equivalent_minutes_of_a_stand(case):
    assert hops.stand_equivalent_min(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("stand_utilisation_percent"))
def test_utilisation_of_a_stand_alone(case):
    equivalent = hops.stand_equivalent_min(case.inputs["temperature_c"], case.inputs["time_min"])
    assert 100.0 * hops.utilisation_tinseth(equivalent, case.inputs["gravity"]) == case.expected


@pytest.mark.parametrize("case", cases("tinseth_after_a_stand"))
def test_a_stand_adds_to_what_was_boiled_before(case):
    of = case.inputs
    minutes = of["boil_min"] + hops.stand_equivalent_min(of["stand_c"], of["stand_min"])
    assert hops.utilisation_tinseth(minutes, of["gravity"]) == case.expected


@pytest.mark.parametrize("case", cases("mean_boil_gravity_utilisation"))
def test_the_mean_gravity_of_the_boil_goes_into_tinseth(case):
    gravity = hops.mean_boil_gravity(case.inputs["pre_gravity"], case.inputs["post_gravity"])
    assert hops.utilisation_tinseth(case.inputs["time_min"], gravity) == case.expected


def test_first_wort_hops_gain_no_less_and_no_more_than_was_measured():
    # Preis & Mitter, Brauwelt International 1995 IV, 308: 37.9 to 39.6 and 27.2 to 32.8 IBU
    # (from memory).
    assert 39.6 / 37.9 <= hops.FIRST_WORT_FACTOR <= 32.8 / 27.2


def test_mash_hops_are_worth_what_was_measured():
    # Justus, MBAA Technical Quarterly 55(3), 2018: 9.1 % against 44.0 %.
    assert hops.MASH_HOP_FACTOR == pytest.approx(9.1 / 44.0, abs=0.01)
