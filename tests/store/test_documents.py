import json

import pytest
from cattrs.errors import ClassValidationError
from hypothesis import given
from hypothesis import strategies as st

from factories import SETUP, recipe, session
from wortwright.planning.limits import Limits
from wortwright.planning.target import Preferences
from wortwright.records.recipe import MashStep, Recipe
from wortwright.records.session import Reading, Session, Stage
from wortwright.records.setup import Setup
from wortwright.store.documents import from_document, to_document, to_json


@pytest.mark.parametrize(
    ("record", "kind"), [(SETUP, Setup), (recipe(), Recipe), (session(), Session)]
)
def test_a_record_survives_json(record: object, kind: type[object]) -> None:
    read = from_document(json.loads(to_json(to_document(record))), kind)
    assert read == record
    # A word of an enumeration equals its text; only its looks tell them apart.
    assert repr(read) == repr(record)


@given(st.floats(allow_nan=False, allow_infinity=False), st.floats(0, 1e9))
def test_numbers_survive_json_to_the_last_bit(temperature: float, time: float) -> None:
    step = MashStep(temperature, time)
    assert from_document(json.loads(to_json(to_document(step))), MashStep) == step


@pytest.mark.parametrize(
    "document",
    [
        {"temperature_c": "66", "time_min": 60.0},
        {"temperature_c": True, "time_min": 60.0},
        {"temperature_c": 66.0},
        {"temperature_c": 66.0, "time_min": 60.0, "colour": 3.0},
    ],
    ids=["text for a number", "truth for a number", "a field missing", "a field unknown"],
)
def test_a_document_that_does_not_fit_is_refused(document: dict[str, object]) -> None:
    with pytest.raises(ClassValidationError):
        from_document(document, MashStep)


def test_not_a_number_is_never_stored() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        to_json({"temperature_c": float("nan")})


def test_a_reading_stored_before_it_could_hold_more_is_still_read() -> None:
    document = {"stage": "pre_boil", "volume_l": 27.5, "gravity": 1.041, "instrument": None}
    read = from_document(document, Reading)
    assert read == Reading(Stage.PRE_BOIL, volume_l=27.5, gravity=1.041)
    assert (read.depth_mm, read.brix, read.boiled_min) == (None, None, None)


def test_preferences_stored_before_they_had_limits_are_still_read() -> None:
    document = {
        "grist_policy": "keep_shares",
        "bitterness_formula": "tinseth",
        "weigh_in": "metric",
        "grain_temperature_c": 18.0,
    }
    assert from_document(document, Preferences).limits == Limits()
