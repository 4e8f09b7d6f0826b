import pytest

from wortwright.planning.cellar.refractometer_reading import (
    RefractometerAsked,
    WortPair,
    read_refractometer,
)


def codes(made):
    return {each.code for each in made.warnings}


def test_wort_by_a_stated_factor_is_wort_by_its_extract():
    # 12 degP is 1.04833 (ICUMSA).
    made = read_refractometer(RefractometerAsked(12.0 * 1.02, factor=1.02))
    assert made.gravity == pytest.approx(1.04833, abs=1e-5)
    assert made.factor_from == "stated"
    assert not made.fermenting
    assert codes(made) == set()


def test_the_usual_factor_is_a_wider_guess_and_told():
    guess = read_refractometer(RefractometerAsked(12.48))
    own = read_refractometer(RefractometerAsked(12.48, factor=1.04))
    assert guess.gravity == own.gravity
    assert guess.high - guess.low > own.high - own.low
    assert codes(guess) == {"correction_factor_assumed"}


def test_a_stated_factor_wins_over_pairs_and_few_pairs_are_doubted():
    pairs = (WortPair(12.6, 1.04833),)
    learnt = read_refractometer(RefractometerAsked(10.0, pairs=pairs))
    assert learnt.factor == pytest.approx(12.6 / 12.0, abs=1e-3)
    assert codes(learnt) == {"few_pairs"}
    stated = read_refractometer(RefractometerAsked(10.0, factor=1.0, pairs=pairs))
    assert (stated.factor, stated.factor_from) == (1.0, "stated")


def test_an_estimate_in_beer_is_at_least_three_points_wide_either_way():
    made = read_refractometer(RefractometerAsked(7.5, 15.0, factor=1.0))
    assert made.fermenting
    assert made.gravity - made.low >= 0.003 - 1e-12
    # Where the two formulas part by more, the interval takes both in (28 and 15: 6 points).
    strong = read_refractometer(RefractometerAsked(15.0, 28.0, factor=1.0))
    assert strong.high - strong.gravity == pytest.approx(0.0061, abs=1e-4)
    assert (strong.ends.low, strong.ends.high) == (strong.low, strong.high)
