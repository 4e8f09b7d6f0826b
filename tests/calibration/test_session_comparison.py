from dataclasses import replace

import numpy as np
import pytest

from benchmarks.brewhouse import USUAL, Noise, draw_day, draw_house
from benchmarks.recorded_sessions import draw_session, written_down
from calibration.invented import HUNG_BAG, TWO_RUNNINGS, usual_session
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.session_comparison import compare_sessions

CALIBRATION = fit_calibration(
    HUNG_BAG,
    [
        ("a", usual_session(1.0400, 1.0478)),
        ("b", usual_session(1.0412, 1.0492)),
        ("c", usual_session(1.0405, 1.0484)),
    ],
)


def compared(first, second, calibration=CALIBRATION, one_setup=True):
    return compare_sessions((first, calibration), (second, calibration), one_setup=one_setup)


def figure(answer, name):
    return next(one for one in answer.figures if one.name == name)


def test_a_session_beside_itself_shows_no_difference():
    answer = compared(usual_session(), usual_session())
    assert len(answer.figures) >= 15
    assert all(one.difference.value == 0.0 for one in answer.figures)
    assert not any(one.is_real for one in answer.figures)
    assert answer.detail == "Nothing differs beyond the noise of the readings."


def test_a_stronger_brew_differs_really_in_what_it_was_stronger():
    light = usual_session(1.0330, 1.0395, grain_kg=4.0)
    answer = compared(light, usual_session(1.0400, 1.0478))
    grain = figure(answer, "grain")
    assert (grain.difference.value, grain.is_real) == (1.0, True)
    gravity = figure(answer, "fermenter_gravity")
    assert gravity.is_real
    assert gravity.low_80.value < 0.0083 < gravity.high_80.value
    assert "gravity points more" in str(gravity.detail)
    assert not figure(answer, "boil_off").is_real
    assert str(figure(answer, "boil_off").detail) == "Boil-off: within the noise."
    assert answer.detail.startswith("Really different: grain, ")


def test_the_other_way_round_it_is_the_same_with_the_other_sign():
    pair = usual_session(1.0330, 1.0395, grain_kg=4.0), usual_session()
    for one, other in zip(compared(*pair).figures, compared(*reversed(pair)).figures, strict=True):
        assert one.difference.value == pytest.approx(-other.difference.value)
        assert one.sure == pytest.approx(other.sure)


def test_what_is_not_known_of_one_setup_cancels():
    # Without a session the kettle loss is hardly known; but it is the same for both.
    prior = fit_calibration(HUNG_BAG, [])
    pair = usual_session(1.0400, 1.0478), usual_session(1.0412, 1.0492)
    same = figure(compared(*pair, prior), "kettle_loss")
    apart = figure(compared(*pair, prior, one_setup=False), "kettle_loss")
    assert same.high_80.value - same.low_80.value < 0.9 * (apart.high_80.value - apart.low_80.value)


def test_sessions_of_two_setups_are_compared():
    other = fit_calibration(TWO_RUNNINGS, [])
    second = usual_session(water={"strike_l": 16.0, "sparge_l": 16.0})
    answer = compare_sessions((usual_session(), CALIBRATION), (second, other), one_setup=False)
    assert figure(answer, "strike_water").difference.value == pytest.approx(-13.5, abs=2.0)


def test_a_boil_time_that_one_does_not_tell_is_not_compared():
    answer = compared(usual_session(), replace(usual_session(), boil_time_min=None))
    assert {"boil_time", "boil_off"}.isdisjoint(one.name for one in answer.figures)


def test_two_readings_of_one_brew_hardly_ever_differ_really():
    # One brew written down twice: every difference is noise, and one in twenty may seem real.
    real = []
    for seed in range(25):
        rng = np.random.default_rng(seed)
        house = draw_house(rng)
        taught = [(str(i), draw_session(rng, house, USUAL)) for i in range(3)]
        calibration = fit_calibration(house.setup, taught)
        day = draw_day(rng, house, USUAL)
        pair = [written_down(rng, day, Noise()) for _ in range(2)]
        real += [one.is_real for one in compared(*pair, calibration).figures]
    assert len(real) > 300
    assert np.mean(real) <= 0.06
