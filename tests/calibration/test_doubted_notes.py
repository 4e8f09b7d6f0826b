from dataclasses import replace

import pytest

from calibration.invented import HUNG_BAG, session, usual_session
from wortwright.calibration.fit import fit_calibration
from wortwright.records.recipe import MashStep, Yeast
from wortwright.records.session import Reading, Stage


def noted(**changes):
    """A brew with every note, one of them changed."""
    said = {
        "strike": 69.3,
        "mash_in": 66.0,
        "mash_end": 63.0,
        "original": 1.050,
        "final": 1.012,
        "packaged": 19.2,
    } | changes
    return session(
        [
            (Stage.STRIKE_WATER, {"temperature_c": said["strike"]}),
            (Stage.MASH_IN, {"temperature_c": said["mash_in"]}),
            (Stage.MASH_END, {"temperature_c": said["mash_end"]}),
            (Stage.FERMENTER, {"volume_l": 20.0, "gravity": said["original"]}),
            (Stage.FINAL, {"gravity": said["final"]}),
            (Stage.PACKAGED, {"volume_l": said["packaged"]}),
        ],
        grain_kg=5.0,
        water={"strike_l": 28.5},
        mash=(MashStep(66.0, 60.0),),
        grain_temperature_c=20.0,
        yeast=Yeast("Invented ale", 0.76),
    )


def findings(*brews):
    return fit_calibration(HUNG_BAG, [(f"{n:02d}", brew) for n, brew in enumerate(brews)]).findings


USUAL = [noted() for _ in range(8)]


def test_brews_like_each_other_are_believed():
    assert findings(*USUAL) == ()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"strike": 78.0}, "The mash came out"),
        ({"mash_end": 55.0}, "in an hour; the other brews expect about"),
        ({"packaged": 12.0}, "were left in the fermenter"),
        ({"final": 1.026}, "28 percentage points less far"),
    ],
)
def test_a_note_far_from_the_others_is_doubted_aloud(changes, words):
    [found] = findings(*USUAL, noted(**changes))
    assert found.session_id == "08"
    assert found.weight < 0.4
    assert words in str(found.reason)


def test_a_session_is_doubted_once_with_every_reason():
    [found] = findings(*USUAL, noted(mash_end=55.0, packaged=12.0))
    assert "in an hour" in str(found.reason)
    assert "left in the fermenter" in str(found.reason)


def test_reasons_of_the_curve_and_beside_it_stand_together():
    def packaged(brew, volume_l):
        return replace(brew, readings=(*brew.readings, Reading(Stage.PACKAGED, volume_l)))

    believed = [packaged(usual_session(), 19.4) for _ in range(8)]
    [found] = findings(*believed, packaged(usual_session(preboil_gravity=1.028), 12.0))
    assert "pre-boil gravity" in str(found.reason)
    assert "left in the fermenter" in str(found.reason)
