from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.fermentation import FermentationState
from wortwright.brewing.tables.yeast import YeastClass
from wortwright.planning.cellar.fermenting import (
    Fermentation,
    FermentingYeast,
    ReadGravity,
    report_fermentation,
    stops_of,
)

MEDIUM = FermentingYeast(YeastClass.MEDIUM)
WORT = Fermentation(1.060, MEDIUM)


def read(*pairs):
    return replace(WORT, readings=tuple(ReadGravity(day, gravity) for day, gravity in pairs))


def codes(found):
    return {each.code for each in found}


def test_before_any_reading_there_is_a_forecast_only():
    report = report_fermentation(WORT)
    assert (report.gravity, report.alcohol, report.real_attenuation) == (None, None, None)
    low, high = report.final_gravity.low_80, report.final_gravity.high_80
    # The class of 71 to 75 % (reference 6.3) leaves 15 to 17.4 points of 60.
    assert low == pytest.approx(1.0150, abs=0.0005)
    assert high == pytest.approx(1.0174, abs=0.0005)
    assert stops_of(WORT) == {"expected_final_gravity": low, "lowest_final_gravity": low}


def test_a_finished_beer_stops_where_it_is():
    assert stops_of(read((9, 1.016), (13, 1.016))) == pytest.approx(
        {
            "expected_final_gravity": 1.016,
            "lowest_final_gravity": 1.016,
            "gravity": 1.016,
            "alcohol": 0.0577,
        },
        abs=0.0006,
    )


@given(st.floats(1.018, 1.055))
def test_a_beer_still_on_its_way_has_to_be_reckoned_with_at_the_low_end(gravity):
    stops = stops_of(read((2, min(gravity + 0.005, 1.060)), (3, gravity)))
    assert stops["expected_final_gravity"] < gravity
    assert stops["lowest_final_gravity"] <= stops["expected_final_gravity"]


def test_a_beer_below_what_was_expected_is_doubted():
    report = report_fermentation(read((9, 1.004), (13, 1.004)))
    assert report.state is FermentationState.FINISHED
    assert "below_forecast" in codes(report.warnings)


def test_a_yeast_that_is_not_known_is_assumed_and_told():
    report = report_fermentation(replace(WORT, yeast=FermentingYeast()))
    assert "yeast_assumed" in codes(report.warnings)
    assert report.final_gravity == report_fermentation(WORT).final_gravity
    assert "yeast_assumed" not in codes(report_fermentation(WORT).warnings)


def test_more_alcohol_than_the_yeast_bears_is_told():
    strong = replace(WORT, original_gravity=1.120)
    assert "alcohol_tolerance" in codes(report_fermentation(strong).warnings)
    assert "alcohol_tolerance" not in codes(report_fermentation(WORT).warnings)


def test_what_a_maker_states_wins_over_nothing():
    stated = replace(WORT, yeast=FermentingYeast(apparent_attenuation=0.80))
    assert report_fermentation(stated).final_gravity.mean == pytest.approx(1.012)


def test_unfinished_beer_carries_the_caution_of_bottles_and_strong_beer_its_own():
    assert "bottle_pressure" in codes(report_fermentation(read((3, 1.030))).cautions)
    done = report_fermentation(read((9, 1.016), (13, 1.016)))
    assert "bottle_pressure" not in codes(done.cautions)
    assert "strong_drink" not in codes(done.cautions)
    strong = replace(read((9, 1.024), (13, 1.024)), original_gravity=1.100)
    assert "strong_drink" in codes(report_fermentation(strong).cautions)
