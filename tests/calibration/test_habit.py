import numpy as np
import pytest

from wortwright.calibration.habit import meant_strike_l
from wortwright.records.setup import LauterMethod

BATCH = LauterMethod.BATCH_SPARGE


def brews(count, seed=0):
    rng = np.random.default_rng(seed)
    return rng.uniform(4.5, 7.5, count), np.full(count, 25.0), rng


@pytest.mark.parametrize("habit", [lambda grain: 2.8 * grain, lambda grain: 12.5 + 0.95 * grain])
def test_reading_errors_are_taken_out_of_a_habit(habit):
    grain, preboil, rng = brews(60)
    meant = habit(grain)
    read = meant * (1.0 + rng.normal(0.0, 0.025, 60))
    found = meant_strike_l(read, grain, preboil, BATCH)
    assert np.std(found / meant) < 0.4 * np.std(read / meant)


def test_a_brewer_who_varies_the_mash_is_believed():
    grain, preboil, rng = brews(60)
    meant = grain * rng.uniform(2.2, 4.5, 60)
    found = meant_strike_l(meant, grain, preboil, BATCH)
    assert found == pytest.approx(meant, rel=0.05)


def test_one_misread_strike_water_moves_no_other():
    grain, preboil, _ = brews(12)
    read = 2.8 * grain
    read[3] *= 10.0
    found = meant_strike_l(read, grain, preboil, BATCH)
    assert np.delete(found, 3) == pytest.approx(np.delete(2.8 * grain, 3), rel=0.02)


def test_a_few_sessions_are_taken_as_read_and_unread_ones_stay_unknown():
    grain, preboil, _ = brews(3)
    read = np.array([14.0, np.nan, 16.0])
    assert meant_strike_l(read, grain, preboil, BATCH) == pytest.approx(read, nan_ok=True)
    grain, preboil, _ = brews(6)
    read = np.where(np.arange(6) == 2, np.nan, 2.8 * grain)
    assert np.isnan(meant_strike_l(read, grain, preboil, BATCH)).tolist() == [
        index == 2 for index in range(6)
    ]


def test_without_sparge_the_plan_says_it():
    grain, preboil, _ = brews(6)
    assert np.isnan(meant_strike_l(5.0 * grain, grain, preboil, LauterMethod.NO_SPARGE)).all()
