"""A change that nobody wrote down is pointed out, and mere luck is not."""

from dataclasses import replace
from datetime import timedelta

import pytest

from calibration.invented import HUNG_BAG
from calibration.test_eras import BEFORE, CHANGED, DAY, PLAN, brews, on
from wortwright.calibration.efficiency import mean_mash_efficiency
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import SuspectedChange
from wortwright.calibration.suspicion import in_words
from wortwright.records.setup import Change, Changed

COARSER = brews(1.0365, 1.0360, 1.0370, 1.0365, first=DAY + timedelta(days=200))
FINER = brews(1.0435, 1.0440, 1.0435, 1.0440, first=DAY + timedelta(days=200))


@pytest.mark.parametrize(("since", "sign"), [(COARSER, -1), (FINER, 1)])
def test_a_change_of_the_mill_is_pointed_out_with_its_first_brew_and_its_size(since, sign):
    (suspected,) = fit_calibration(HUNG_BAG, [*BEFORE, *since]).suspected
    assert suspected.session_id == since[0][0]
    assert suspected.on == CHANGED
    assert suspected.constant == "conversion"
    # 0.0035 of 0.040 is 9 % of the extract: 6 to 7 percentage points.
    assert sign * suspected.efficiency_change == pytest.approx(0.065, abs=0.02)


def test_the_forecast_follows_the_newer_brews():
    found = mean_mash_efficiency(fit_calibration(HUNG_BAG, [*BEFORE, *COARSER]), PLAN)
    new = mean_mash_efficiency(fit_calibration(HUNG_BAG, COARSER), PLAN)
    old = mean_mash_efficiency(fit_calibration(HUNG_BAG, BEFORE), PLAN)
    assert abs(found - new) < 0.3 * abs(old - new)


def test_what_is_recorded_is_suspected_no_more():
    assert fit_calibration(on(CHANGED, Changed.MILL), [*BEFORE, *COARSER]).suspected == ()


def test_the_brewer_may_say_that_nothing_changed():
    last = COARSER[-1][1].brewed_at.date()
    assert fit_calibration(on(last, Changed.NOTHING), [*BEFORE, *COARSER]).suspected == ()


def test_that_nothing_changed_long_ago_does_not_hide_a_later_change():
    said = Change(BEFORE[3][1].brewed_at.date(), Changed.NOTHING)
    setup = replace(HUNG_BAG, changes=(said,))
    (suspected,) = fit_calibration(setup, [*BEFORE, *COARSER]).suspected
    assert suspected.on == CHANGED


def test_steady_brews_are_not_suspected():
    assert fit_calibration(HUNG_BAG, BEFORE).suspected == ()


@pytest.mark.parametrize("gravity", [1.048, 1.015])
def test_a_setup_far_from_what_is_usual_is_none_that_changed(gravity):
    """Steady brews of more extract than the malt sheet allows, or of hardly any."""
    assert fit_calibration(HUNG_BAG, brews(*[gravity] * 20)).suspected == ()


def test_one_brew_is_no_change():
    assert fit_calibration(HUNG_BAG, [*BEFORE, COARSER[0]]).suspected == ()


def test_it_is_said_in_words():
    change = SuspectedChange("a", CHANGED, "conversion", -0.06, 0.01, 100.0)
    assert in_words(change).startswith(
        f"From the brew of {CHANGED} on, mash efficiency looks 5 to 7 percentage points lower "
        "than before, as if the grain were crushed coarser."
    )
