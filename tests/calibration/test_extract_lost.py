from dataclasses import replace

import pytest

from calibration.invented import HUNG_BAG, session, usual_session
from wortwright.brewing.gravity import gravity_from_extract_kg_per_l, gravity_from_plato
from wortwright.calibration.extract_lost import Place, Verdict
from wortwright.calibration.figures import Name
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.reconciliation import reconcile
from wortwright.records.session import Stage, WaterUsed

GRAIN_KG, POTENTIAL_KG, HELD_L, WATER_KG_PER_L = 5.0, 3.8, 5.25, 0.9982
PREBOIL_L, POSTBOIL_L = 26.0, 21.8


def brewed(conversion=0.92, washed=1.0, *, first_wort=True):
    """A brew in a bag by plain mass balance; ``washed`` is a part of what should be in the kettle.

    What drains off takes its share of what dissolved: 26 L of 26 L and 5.25 L held.
    """
    dissolved_kg = conversion * POTENTIAL_KG
    kettle_kg = dissolved_kg * PREBOIL_L / (PREBOIL_L + HELD_L) * washed
    strike_l = PREBOIL_L + HELD_L - 0.617 * dissolved_kg
    plato = 100.0 * dissolved_kg / (dissolved_kg + WATER_KG_PER_L * strike_l)
    gravities = [gravity_from_extract_kg_per_l(kettle_kg / one) for one in (PREBOIL_L, POSTBOIL_L)]
    whole = usual_session(*gravities, grain_kg=GRAIN_KG, water={"strike_l": strike_l})
    if not first_wort:
        return whole
    first = session([(Stage.FIRST_WORT, {"gravity": gravity_from_plato(plato)})]).readings
    return replace(whole, readings=(*first, *whole.readings))


CALIBRATION = fit_calibration(
    HUNG_BAG,
    [(f"{place}", brewed(0.92 + shift)) for place, shift in enumerate((0.0, 0.01, -0.01, 0.005))],
)


def lost(one):
    return reconcile(one, CALIBRATION).extract_lost


def test_the_conversion_that_the_first_wort_tells_is_what_it_says():
    answer = lost(brewed())
    assert 1.0 - answer.not_dissolved.mean == pytest.approx(0.92, abs=0.01)
    assert answer.verdict is Verdict.AS_EXPECTED
    assert answer.detail.endswith("about what is expected of this setup.")


def test_a_weak_first_wort_says_that_it_was_lost_in_conversion():
    answer = lost(brewed(0.80))
    assert (answer.verdict, answer.place) == (Verdict.LOST, Place.CONVERSION)
    assert answer.certainty > 0.9
    assert answer.shortfall.mean == pytest.approx(0.10, abs=0.03)
    assert "lost in conversion rather than in washing" in answer.detail


def test_a_usual_first_wort_says_that_it_was_lost_in_washing():
    answer = lost(brewed(washed=0.88))
    assert (answer.verdict, answer.place) == (Verdict.LOST, Place.WASHING)
    assert "lost in washing rather than in conversion" in answer.detail


def test_without_the_first_wort_the_readings_cannot_tell_and_it_would():
    answer = lost(brewed(0.80, first_wort=False))
    assert (answer.verdict, answer.place, answer.certainty) == (Verdict.CANNOT_TELL, None, None)
    assert answer.short > 0.8
    assert answer.would_tell is Name.FIRST_WORT_GRAVITY
    assert "the gravity of the stirred mash, with the strike water would tell" in answer.detail


def test_volumes_alone_cannot_tell_whether_any_extract_is_missing():
    whole = usual_session()
    readings = tuple(replace(one, gravity=None) for one in whole.readings)
    answer = lost(replace(whole, readings=readings, water=WaterUsed()))
    assert answer.verdict is Verdict.CANNOT_TELL
    assert answer.would_tell in (Name.PREBOIL_GRAVITY, Name.POSTBOIL_GRAVITY)
    assert "whether any is missing, the readings cannot tell" in answer.detail


def test_the_shares_add_up_to_all_extract():
    answer = reconcile(brewed(), CALIBRATION)
    efficiency = next(one for one in answer.quantities if one.name is Name.MASH_EFFICIENCY)
    shares = answer.extract_lost
    whole = efficiency.mean.value + shares.not_dissolved.mean + shares.left_in_grain.mean
    assert whole == pytest.approx(1.0, abs=1e-3)
