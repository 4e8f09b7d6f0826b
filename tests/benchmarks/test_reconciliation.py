"""A reduced run of tests/benchmarks/reconciliation.py.

Fixed seeds: the figures are the same in every run, and the bounds leave room for so few houses.
"""

import numpy as np
import pytest

from benchmarks.reconciliation import run

GRAVITIES = ("pre-boil gravity", "original gravity", "first wort")
VOLUMES = ("pre-boil volume", "fermenter volume")


@pytest.fixture(scope="module")
def usual():
    return run(30, blunders=(*GRAVITIES, *VOLUMES))


@pytest.fixture(scope="module")
def faulty():
    return run(60, faults=True)


def test_the_80_percent_intervals_hold_about_80_percent(usual):
    held = np.concatenate([np.array(one) for one in usual.held.values()])
    assert 0.74 <= held.mean() <= 0.90


@pytest.mark.parametrize("blunder", GRAVITIES)
def test_a_wrong_gravity_is_the_one_that_is_named(usual, blunder):
    assert np.mean([first for first, _ in usual.named[blunder]]) >= 0.9


@pytest.mark.parametrize("blunder", VOLUMES)
def test_a_wrong_volume_is_mostly_named(usual, blunder):
    assert np.mean([at_all for _, at_all in usual.named[blunder]]) >= 0.75


def test_where_no_reading_is_wrong_hardly_one_is_named(usual):
    assert np.mean(usual.named["none"]) <= 0.07


def test_a_claim_where_extract_was_lost_is_right_as_often_as_it_says(faulty):
    claimed, right, certainty = faulty.claimed()
    assert claimed >= 0.3
    assert certainty >= 0.8
    assert right >= certainty - 0.12
