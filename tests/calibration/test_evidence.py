import math
from dataclasses import replace

import pytest

from calibration.invented import HUNG_BAG, malt, session, usual_session
from wortwright.brewing.gravity import gravity_from_extract_kg_per_l
from wortwright.calibration.evidence import (
    evidence_of,
    is_data_error,
    mash_efficiency_by_readings,
)
from wortwright.calibration.fit import fit_calibration
from wortwright.records.grist import AddedTo, HopAddition, HopForm, Moment, Purpose
from wortwright.records.session import Stage
from wortwright.records.setup import LauterMethod

KETTLE_LOSS = (1.2, 0.6)


def evidence(brewed):
    return evidence_of("a", brewed)


def observed(brewed):
    return mash_efficiency_by_readings(evidence(brewed), KETTLE_LOSS)


def test_mash_efficiency_from_the_pre_boil_reading_gives_the_check_case():
    # 5 kg of 0.77 kg/kg, 26.00 L at 1.043: 0.7533, by the mass of extract (a balance worked out
    # apart from this code with another Plato formula, hence 0.1 %).
    brewed = session(
        [(Stage.PRE_BOIL, {"volume_l": 26.0, "gravity": 1.043})], grist=(malt(5.0, 0.77),)
    )
    assert observed(brewed).mean == pytest.approx(0.7533, rel=2e-3)


def test_the_error_of_an_efficiency_gives_the_published_propagation():
    # (0.001 / 0.045)^2 + 0.025^2, the gravity and the volume: 3.3 %.
    brewed = session([(Stage.PRE_BOIL, {"volume_l": 26.0, "gravity": 1.045})])
    found = observed(brewed)
    assert found.sd / found.mean == pytest.approx(0.0334, abs=2e-4)


def test_hot_volumes_and_warm_samples_are_brought_to_20_degc():
    # Water at 75 degC fills 1.02397 times its volume at 20 degC (IAPWS-95).
    # A hydrometer for 20 degC in wort of 1.050 at 30 degC reads about 2.7 points low (the full
    # balance of the float with ICUMSA densities gives 2.6 to 2.9).
    found = evidence(
        session(
            [
                (Stage.PRE_BOIL, {"volume_l": 26.0, "volume_temperature_c": 75.0}),
                (Stage.FERMENTER, {"gravity": 1.0473, "gravity_temperature_c": 30.0}),
            ]
        )
    )
    assert found.preboil_l == pytest.approx(26.0 / 1.02397, rel=2e-4)
    assert found.fermenter_gravity == pytest.approx(1.0500, abs=3e-4)


def test_the_least_record_counts_the_kettle_loss_with_its_spread():
    least = session([(Stage.FERMENTER, {"volume_l": 20.0, "gravity": 1.050})])
    after_boil = session(
        [(Stage.POST_BOIL, {"volume_l": 21.2}), (Stage.FERMENTER, {"gravity": 1.050})]
    )
    assert observed(least).mean == pytest.approx(observed(after_boil).mean, rel=1e-12)
    assert observed(least).sd > observed(after_boil).sd


def test_boiled_hops_keep_wort_and_dry_hops_none():
    def hop(moment, form, grams):
        return HopAddition("invented", 0.1, form, moment, Purpose.AROMA, mass_kg=grams / 1000.0)

    hops = (
        hop(Moment.BOIL, HopForm.PELLET, 50.0),
        hop(Moment.STAND, HopForm.WHOLE, 25.0),
        hop(Moment.DRY, HopForm.PELLET, 100.0),
    )
    # 6 mL/g of pellets and 8 mL/g of whole hops.
    assert evidence(session(hop_bill=hops)).hop_uptake_l == pytest.approx(0.50)


@pytest.mark.parametrize("sugar_kg", [0.3, 1.0])
def test_sugar_in_the_kettle_leaves_the_mash_efficiency_alone(sugar_kg):
    def brewed(extra_kg):
        gravity = gravity_from_extract_kg_per_l((2.6 + extra_kg) / 21.0)
        grist = (malt(5.0), malt(extra_kg, 1.0, AddedTo.KETTLE)) if extra_kg else (malt(5.0),)
        return session([(Stage.POST_BOIL, {"volume_l": 21.0, "gravity": gravity})], grist=grist)

    assert observed(brewed(sugar_kg)).mean == pytest.approx(2.6 / 3.8, rel=1e-9)
    assert observed(brewed(0.0)).mean == pytest.approx(2.6 / 3.8, rel=1e-9)


def test_conversion_needs_the_first_wort_and_the_strike_water():
    first_wort = [(Stage.FIRST_WORT, {"gravity": 1.0850})]
    # 3.0 L/kg at yield 0.77 and full conversion: 20.45 degP, 1.0850 (a balance of masses).
    found = evidence(session(first_wort, grist=(malt(6.0, 0.77),), water={"strike_l": 18.0}))
    assert found.conversion == pytest.approx(1.0, abs=3e-3)
    assert math.isnan(evidence(session(first_wort)).conversion)


def test_water_in_needs_every_part_of_a_sparge():
    only_strike = evidence(session(water={"strike_l": 18.0}))
    assert only_strike.water_in_l(LauterMethod.NO_SPARGE) == 18.0
    assert math.isnan(only_strike.water_in_l(LauterMethod.BATCH_SPARGE))
    both = evidence(session(water={"strike_l": 18.0, "sparge_l": 12.0}))
    assert both.water_in_l(LauterMethod.BATCH_SPARGE) == 30.0


def test_a_reading_outside_the_science_is_left_out_and_named():
    found = evidence(
        session(
            [
                (Stage.PRE_BOIL, {"gravity": 1.040, "gravity_temperature_c": 70.0}),
                (Stage.FERMENTER, {"volume_l": 20.0, "gravity": 1.48}),
            ]
        )
    )
    assert math.isnan(found.preboil_gravity)
    assert math.isnan(found.fermenter_gravity)
    assert found.fermenter_l == 20.0
    assert "sample temperature 70" in str(found.unusable[0])
    assert "gravity of wort 1.48" in str(found.unusable[1])


def test_a_session_without_mashed_grain_is_no_evidence():
    assert evidence(session(grist=(malt(3.0, 0.8, AddedTo.KETTLE),))) is None


def test_an_efficiency_above_97_percent_is_a_data_error():
    wrong, right = usual_session(preboil_gravity=1.058), usual_session()
    assert is_data_error(evidence_of("wrong", wrong), observed(wrong))
    assert not is_data_error(evidence_of("right", right), observed(right))
    insisted = replace(wrong, trusted_because="Read twice.")
    assert not is_data_error(evidence_of("insisted", insisted), observed(insisted))


def test_two_readings_of_a_stage_count_as_their_mean():
    twice = session([(Stage.PRE_BOIL, {"gravity": 1.040}), (Stage.PRE_BOIL, {"gravity": 1.042})])
    assert evidence(twice).preboil_gravity == pytest.approx(1.041, abs=1e-12)


def test_a_first_wort_of_no_water_tells_nothing():
    brewed = session([(Stage.FIRST_WORT, {"gravity": 1.080})], water={"strike_l": 0.0})
    assert math.isnan(evidence_of("dry", brewed).conversion)
    assert fit_calibration(HUNG_BAG, [("dry", brewed)]).session_count == 1
