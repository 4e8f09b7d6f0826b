"""Rules of yeast and oxygen at their edges, each held against the rule as it is stated."""

import pytest

from wortwright.brewing import gravity, oxygen, starter, yeast
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.tables.yeast import YeastKind


@pytest.mark.parametrize(
    ("kind", "original", "wanted"),
    [
        (YeastKind.ALE, 1.020, 8.0),
        (YeastKind.ALE, 1.060, 12.0),
        (YeastKind.HYBRID, 1.020, 8.0),
        (YeastKind.HYBRID, 1.060, 12.0),
        (YeastKind.LAGER, 1.020, 10.0),
        (YeastKind.LAGER, 1.075, 15.0),
        (YeastKind.ALE, 1.110, 15.0),
    ],
)
def test_oxygen_keeps_to_the_ends_of_its_range(kind, original, wanted):
    assert oxygen.oxygen_wanted(kind, original, 15.0).wanted_mg_l == wanted


@pytest.mark.parametrize(("original", "second"), [(1.083, False), (1.084, True)])
def test_a_second_dose_of_oxygen_is_for_more_than_1083(original, second):
    assert oxygen.oxygen_wanted(YeastKind.ALE, original, 15.0).second_dose is second


def test_starters_are_of_a_hundred_grams_a_litre_and_grow_no_more_than_is_stated():
    (step,) = starter.starter_steps(1e11, 2.69e11, starter.StarterMethod.STILL)
    assert step.extract_g == pytest.approx(100.0 * step.volume_l)
    assert len(starter.starter_steps(1e11, 2.75e11, starter.StarterMethod.STILL)) == 2
    (step,) = starter.starter_steps(1e11, 5.99e11, starter.StarterMethod.STIRRED)
    assert len(starter.starter_steps(1e11, 6.1e11, starter.StarterMethod.STIRRED)) == 2


@pytest.mark.parametrize(("million_per_ml", "growth"), [(25, 2.76), (50, 2.05), (300, 1.0)])
def test_a_still_starter_grows_as_printed(million_per_ml, growth):
    # C. White and J. Zainasheff, Yeast, 2010, fig. 5.5 (quoted); no growth at 300.
    found = starter.still_growth_factor(million_per_ml * 1e9, 1.0)
    assert found == pytest.approx(growth, abs=0.005)


def test_air_gives_wort_a_hundredth_less_for_each_degree():
    # 8 mg/L at 12 degP against 9.1 in water: common practice.
    found = oxygen.oxygen_wanted(YeastKind.ALE, gravity.gravity_from_plato(12.0), 20.0)
    in_water = oxygen.oxygen_in_water_mg_l(20.0)
    assert found.air_can_give_mg_l == pytest.approx(0.88 * in_water, rel=1e-6)


@pytest.mark.parametrize(
    ("share", "risk"),
    [
        (0.34, "far_too_few_cells"),
        (0.35, "too_few_cells"),
        (0.69, "too_few_cells"),
        (0.70, "enough_cells"),
        (2.49, "enough_cells"),
        (2.50, "too_many_cells"),
    ],
)
def test_a_share_of_the_cells_wanted_means_what_is_stated(share, risk):
    assert yeast.pitch_risk(share) == risk


def test_no_brew_takes_more_than_a_thousand_packets():
    assert len(yeast.dry_packets(1000 * 11e10, 11.0)) == 1000
    with pytest.raises(OutOfRangeError):
        yeast.dry_packets(1000.5 * 11e10, 11.0)
