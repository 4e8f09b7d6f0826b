import numpy as np
import pytest

from calibration.invented import HUNG_BAG, malt, session, usual_session
from wortwright.calibration.curve import Parameters
from wortwright.calibration.evidence import evidence_of
from wortwright.calibration.history import Own, Row, Shared, history_of
from wortwright.calibration.priors import efficiency_priors
from wortwright.records.grist import AddedTo
from wortwright.records.session import Stage

PRIOR = Shared(Parameters(*(prior.value(0.0) for prior in efficiency_priors(HUNG_BAG))), 3.5, 1.2)


def history(*sessions):
    evidence = [evidence_of(str(i), one) for i, one in enumerate(sessions)]
    return history_of(evidence, HUNG_BAG.lauter_method, PRIOR)


def test_without_sessions_the_arrays_are_empty():
    assert history().read.shape == (0, len(Row))


@pytest.mark.parametrize(
    ("known", "expected"),
    [
        ({"planned_preboil_l": 27.0}, 27.0),
        ({"readings": [(Stage.PRE_BOIL, {"volume_l": 26.5})]}, 26.5),
        # An hour's boil-off of 3.5 L, a kettle loss of 1.2 L.
        ({"readings": [(Stage.POST_BOIL, {"volume_l": 22.0})]}, 25.5),
        ({"readings": [(Stage.FERMENTER, {"volume_l": 20.0})]}, 24.7),
    ],
)
def test_the_pre_boil_volume_is_guessed_from_what_there_is(known, expected):
    assert history(session(**known)).preboil_l == pytest.approx([expected])


def test_a_plan_comes_before_a_reading():
    # What was known before the brew: an error in the volume read must not move the grain load.
    assert history(usual_session(preboil_l=29.0)).preboil_l == pytest.approx([26.0])


def test_a_session_without_water_and_volumes_is_taken_for_a_usual_load():
    assert history(session(grain_kg=5.5)).preboil_l == pytest.approx([25.0])


def test_only_what_was_read_is_known():
    known = ~np.isnan(history(usual_session()).read[0])
    assert [Row(row) for row in np.flatnonzero(known)] == [
        Row.PLANNED,
        Row.PREBOIL,
        Row.POSTBOIL,
        Row.FERMENTER,
        Row.WATER,
        Row.PREBOIL_GRAVITY,
        Row.FERMENTER_GRAVITY,
    ]


def test_sugar_in_the_kettle_swells_the_wort():
    # 1 kg of extract fills about 0.617 L.
    grist = (malt(5.0), malt(1.0, 1.0, AddedTo.KETTLE))
    assert history(usual_session(grist=grist)).added_l == pytest.approx([0.617])


def test_an_unknown_boil_time_makes_the_boil_uncertain():
    told, untold = (history(usual_session(boil_time_min=t)).own_sd for t in (60.0, None))
    assert untold[0, Own.BOIL] > 3.0 * told[0, Own.BOIL]
