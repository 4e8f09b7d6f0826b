"""A reduced run of what the calibration benchmark says of changes and of clubs.

Fixed seeds: the figures are the same in every run, and the bounds leave room for few houses.
"""

import numpy as np
import pytest

from benchmarks import changes, clubs
from benchmarks.scoring import ratio


@pytest.fixture(scope="module")
def mills():
    return changes.run(25, "first wort")


@pytest.fixture(scope="module")
def club():
    return clubs.run(60, common=True, counts=(0, clubs.MANY))


def test_after_three_brews_a_recorded_change_is_nearly_made_up_for(mills):
    assert ratio(mills.recorded[0], mills.known[0])[0] > 2.5
    assert ratio(mills.recorded[3], mills.known[3])[0] <= 1.5


def test_a_change_that_nobody_recorded_is_pointed_out_within_four_brews(mills):
    assert np.mean(mills.pointed_out) >= 0.8


def test_where_nothing_changed_nothing_is_pointed_out(mills):
    assert np.mean(mills.falsely) <= 0.1


def test_the_forecast_follows_a_change_that_nobody_recorded(mills):
    assert np.mean(mills.followed) > 0.8


@pytest.mark.parametrize("strength", ["usual", "strong"])
def test_a_newcomer_gains_by_a_club_that_has_something_in_common(club, strength):
    assert club.against_alone("shared", strength, 0)[0] < 1.0


def test_a_setup_with_many_brews_hardly_listens_to_its_club(club):
    assert np.mean(club.moved) < 0.3
