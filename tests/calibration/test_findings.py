import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calibration.invented import HUNG_BAG, session, usual_session
from wortwright.calibration.efficiency import mean_mash_efficiency
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import MashPlan
from wortwright.records.session import Reading, Stage, WaterUsed

GOOD = [
    ("a", usual_session(1.0400, 1.0478)),
    ("b", usual_session(1.0412, 1.0492)),
    ("c", usual_session(1.0405, 1.0484)),
    ("d", usual_session(1.0396, 1.0472)),
]
PLAN = MashPlan(9.0, 0.76, 26.0)


def orders(low, high):
    """Numbers of any order of magnitude."""
    return st.floats(math.log(low), math.log(high)).map(math.exp)


def absurd_sessions():
    """Sessions with whatever numbers a body may hold, each by itself in its range."""
    volume = st.none() | orders(1e-3, 5e3)
    readings = st.builds(
        Reading,
        stage=st.sampled_from(Stage),
        volume_l=volume,
        gravity=st.none() | st.floats(0.98, 1.19),
        temperature_c=st.none() | st.floats(0.0, 100.0),
        volume_temperature_c=st.none() | st.floats(0.0, 100.0),
    )
    return st.builds(
        lambda grain_kg, readings, planned_l, water, boil_min: replace(
            session(grain_kg=grain_kg),
            readings=tuple(readings),
            planned_preboil_l=planned_l,
            water=water,
            boil_time_min=boil_min,
        ),
        orders(1e-4, 2e3),
        st.lists(readings, max_size=8),
        volume,
        st.builds(WaterUsed, volume, volume, volume),
        st.none() | st.floats(0.0, 360.0),
    )


def fitted(*more):
    return fit_calibration(HUNG_BAG, [*GOOD, *more])


def test_sessions_that_agree_give_no_finding():
    assert fitted().findings == ()


@pytest.mark.parametrize("wrong", [1.029, 1.051])
def test_one_wrong_hydrometer_reading_is_named_and_hardly_moves_the_curve(wrong):
    clean = fitted(("e", usual_session(1.0404, 1.0483)))
    blundered = fitted(("e", usual_session(wrong, 1.0483)))
    (finding,) = blundered.findings
    assert finding.session_id == "e"
    assert finding.weight < 0.2
    assert str(finding.reason).startswith(f"The pre-boil gravity is {wrong:.3f}; ")
    assert float(str(finding.reason)[-6:-1]) == pytest.approx(1.0404, abs=0.0015)
    shift = mean_mash_efficiency(blundered, PLAN) / mean_mash_efficiency(clean, PLAN)
    assert shift == pytest.approx(1.0, abs=0.005)


def test_a_volume_read_hot_is_found():
    # 4 % is within reading error; a whole gallon misread is not.
    (finding,) = fitted(("e", usual_session(preboil_l=32.0))).findings
    assert "pre-boil volume is 32.0 L; everything else expects about 26" in finding.reason.written(
        lambda amount: f"{amount.value:.1f} L"
    )


def test_to_miss_the_planned_volume_is_no_fault():
    # 2.6 L less collected than planned, and everything read agrees with it.
    less = usual_session(1.0432, 1.0525, preboil_l=23.4, planned_preboil_l=26.0)
    readings = tuple(
        replace(one, volume_l=one.volume_l - 2.6) if one.stage != Stage.PRE_BOIL else one
        for one in less.readings
    )
    short = replace(less, readings=readings, water=replace(less.water, strike_l=26.9))
    assert fitted(("e", short)).findings == ()


def test_a_typing_error_by_a_factor_is_held_off():
    clean = fitted(("e", usual_session()))
    typo = fitted(("e", usual_session(preboil_l=260.0)))
    shift = mean_mash_efficiency(typo, PLAN) / mean_mash_efficiency(clean, PLAN)
    assert shift == pytest.approx(1.0, abs=0.01)
    assert [finding.session_id for finding in typo.findings] == ["e"]


def test_a_whole_session_off_the_curve_is_believed_in_its_readings_only():
    # All readings of a session agree on an efficiency that no other shows: no single reading is
    # at fault, and none may be picked out as the wrong one by a wide margin.
    odd = fitted(("e", usual_session(1.0330, 1.0395)))
    shift = mean_mash_efficiency(odd, PLAN) / mean_mash_efficiency(fitted(), PLAN)
    assert 0.93 < shift < 1.0


def test_a_computed_efficiency_above_97_percent_is_flagged():
    lucky = session([(Stage.PRE_BOIL, {"volume_l": 26.0, "gravity": 1.056})], grain_kg=5.0)
    (finding,) = fitted(("e", lucky)).findings
    assert "above 97 %" in str(finding.reason)


def test_an_unusable_reading_is_reported():
    brewed = usual_session()
    hot = replace(brewed.readings[0], gravity_temperature_c=72.0)
    (finding,) = fitted(("e", replace(brewed, readings=(hot, *brewed.readings[1:])))).findings
    assert str(finding.reason).startswith("The pre-boil reading: sample temperature 72")
    assert finding.weight == 0.0


def test_a_trusted_session_is_taken_at_its_word_and_not_doubted():
    wrong = usual_session(1.051, 1.0483)
    doubted = fitted(("e", wrong))
    trusted = fitted(("e", replace(wrong, trusted_because="Read twice, with two hydrometers.")))
    assert [finding.session_id for finding in doubted.findings] == ["e"]
    assert trusted.findings == ()
    # A reading that counts in full moves the curve; doubted, it hardly did (above).
    clean = mean_mash_efficiency(fitted(), PLAN)
    assert mean_mash_efficiency(trusted, PLAN) > 1.015 * clean


def test_trust_changes_nothing_where_nothing_was_doubted():
    agreeing = usual_session(1.0404, 1.0483)
    trusted = fitted(("e", replace(agreeing, trusted_because="No reason to doubt it.")))
    plain = fitted(("e", agreeing))
    shift = mean_mash_efficiency(trusted, PLAN) / mean_mash_efficiency(plain, PLAN)
    assert shift == pytest.approx(1.0, abs=0.002)


def test_an_efficiency_that_is_trusted_is_not_called_impossible():
    lucky = session([(Stage.PRE_BOIL, {"volume_l": 26.0, "gravity": 1.056})], grain_kg=5.0)
    assert fitted(("e", replace(lucky, trusted_because="Weighed."))).findings == ()


def test_what_cannot_be_used_is_said_of_a_trusted_session_too():
    brewed = usual_session()
    hot = replace(brewed.readings[0], gravity_temperature_c=72.0)
    spoilt = replace(brewed, readings=(hot, *brewed.readings[1:]), trusted_because="I saw it.")
    assert [finding.weight for finding in fitted(("e", spoilt)).findings] == [0.0]


def test_volumes_that_cannot_be_of_the_grain_are_left_out_and_named():
    slip = replace(usual_session(), planned_preboil_l=None, water=WaterUsed(strike_l=2.95e5))
    finding = fitted(("e", slip)).findings[-1]
    assert "strike water" in str(finding.reason)
    assert "cannot be that of" in str(finding.reason)


@settings(max_examples=60)
@given(st.lists(absurd_sessions(), min_size=1, max_size=3))
def test_whatever_was_written_down_the_calibration_stays_a_calibration(sessions):
    told = [*GOOD, *((f"x{place}", one) for place, one in enumerate(sessions))]
    calibration = fit_calibration(HUNG_BAG, told)
    efficiency = mean_mash_efficiency(calibration, MashPlan(5.0, 0.76, 26.0))
    assert 0.3 < efficiency < 0.98
    for estimate in calibration.constants.values():
        assert math.isfinite(estimate.mean)
        assert estimate.sd >= 0.0
