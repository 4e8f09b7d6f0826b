from datetime import UTC, datetime, timedelta, timezone
from enum import StrEnum
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from marshmallow import ValidationError

from wortwright.api import unit_choice
from wortwright.api.fields import Choice, StrictInteger, StrictNumber, StrictText, UtcDateTime
from wortwright.api.quantity_field import Quantity
from wortwright.units import Dimension, symbols

MASS = Quantity(Dimension.MASS, exclusive_minimum=0, maximum=500)
GRAVITY = Quantity(Dimension.GRAVITY, minimum=0.98, maximum=1.2)
MASH = Quantity(Dimension.TEMPERATURE, minimum=-5, maximum=110)

ANYTHING = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=80)
    | st.sampled_from(["kg", "4.5 kg", "4,5 kg", "1e400 kg", "nan kg", "1.065", "9**9**7"]),
    lambda below: (
        st.lists(below, max_size=3)
        | st.dictionaries(st.sampled_from(["value", "unit", "_schema", "x"]), below, max_size=4)
    ),
    max_leaves=8,
)
QUANTITY_LIKE = st.fixed_dictionaries(
    {
        "value": st.floats() | st.integers(-(10**400), 10**400) | ANYTHING,
        "unit": st.sampled_from([*symbols(Dimension.MASS), *symbols(Dimension.GRAVITY), "C"]),
    }
)


def refusal(field: Any, value: object) -> Any:
    with pytest.raises(ValidationError) as caught:
        field.deserialize(value)
    return caught.value.messages


class Wood(StrEnum):
    OAK = "oak"
    ASH = "ash"


# Definitions: the international avoirdupois pound is 0.45359237 kg exactly, the ounce a 16th of
# it (international yard and pound agreement, 1959); 0 degC is 32 degF and 100 degC is 212 degF.
@pytest.mark.parametrize(
    ("field", "given", "base"),
    [
        (MASS, {"value": 4.5, "unit": "kg"}, 4.5),
        (MASS, "4.5 kg", 4.5),
        (MASS, "2 lb", 0.90718474),
        (MASS, {"value": 16, "unit": "oz"}, 0.45359237),
        (GRAVITY, 1.065, 1.065),
        (GRAVITY, "1.065", 1.065),
        (GRAVITY, {"value": 65, "unit": "gravity points"}, 1.065),
        (MASH, "212 degF", 100.0),
        (MASH, {"value": 32, "unit": "degF"}, 0.0),
    ],
)
def test_quantity_gives_the_value_in_the_base_unit(field: Any, given: object, base: float) -> None:
    assert field.deserialize(given) == pytest.approx(base, rel=1e-12, abs=1e-9)


@pytest.mark.parametrize(
    "given",
    [4.5, True, None, [], "4,5 kg", "4.5kg", "4.5  kg", " 4.5 kg", "4.5 Kg", "nan kg", "1e400 kg"],
)
def test_quantity_without_a_plain_number_and_unit_is_refused(given: object) -> None:
    assert refusal(MASS, given)


@pytest.mark.parametrize("given", ["0 kg", "-1 kg", "501 kg", "1e-300 kg", "1e300 kg"])
def test_quantity_out_of_bounds_is_refused_with_the_bounds(given: str) -> None:
    message = refusal(MASS, given)[0]
    assert "more than 0 kg, up to 500 kg" in message
    assert message.accepted == ("more than 0 kg, up to 500 kg",)


def test_quantity_at_its_bounds_is_accepted_in_every_unit() -> None:
    pounds = 500 / 0.45359237
    assert MASS.deserialize({"value": pounds, "unit": "lb"}) == 500.0
    assert MASH.deserialize("110 degC") == 110.0
    assert MASH.deserialize("23 degF") == -5.0


def test_quantity_names_the_ambiguous_unit_and_what_it_may_mean() -> None:
    message = refusal(Quantity(Dimension.VOLUME), {"value": 5, "unit": "gal"})[0]
    assert "'gal'" in message
    assert message.accepted == ("US gal", "imp gal")


def test_quantity_tells_every_fault_at_its_own_place() -> None:
    faults = refusal(MASS, {"value": "4", "units": "kg"})
    assert faults.keys() == {"value", "unit", "units"}


@pytest.mark.parametrize("field", [MASS, GRAVITY, MASH, Quantity(Dimension.COLOUR)])
@given(given=ANYTHING | QUANTITY_LIKE)
def test_quantity_raises_nothing_but_validation_errors(field: Quantity, given: object) -> None:
    try:
        loaded = field.deserialize(given)
    except ValidationError:
        return
    assert isinstance(loaded, float)
    assert field.minimum <= loaded <= field.maximum


def test_quantity_is_written_in_the_units_chosen() -> None:
    try:
        unit_choice.choose(None)
        assert MASS.serialize("m", {"m": 0.90718474}) == {"value": 0.90718474, "unit": "kg"}
        unit_choice.choose("us")
        assert MASS.serialize("m", {"m": 0.90718474}) == {"value": 2.0, "unit": "lb"}
    finally:
        unit_choice.choose(None)


def test_quantity_is_written_with_twelve_significant_digits() -> None:
    third = MASS.serialize("m", {"m": 1 / 3})
    assert third == {"value": 0.333333333333, "unit": "kg"}


def test_absent_quantity_is_written_as_null() -> None:
    assert MASS.serialize("m", {"m": None}) is None


@pytest.mark.parametrize("given", ["1.5", True, None, [1], {}, float("nan"), float("inf"), 1e308])
def test_number_refuses_what_is_no_sensible_number(given: object) -> None:
    assert refusal(StrictNumber(), given)


def test_number_bounds_hold_and_the_exclusive_one_is_excluded() -> None:
    field = StrictNumber(exclusive_minimum=0, maximum=1)
    assert field.deserialize(1) == 1.0
    assert field.deserialize(5e-324) > 0
    assert "more than 0, at most 1" in refusal(field, 0)[0]
    assert refusal(field, 1.0000001)


@pytest.mark.parametrize("given", ["3", 2.5, True, 0, 61, 10**400, float("nan")])
def test_integer_refuses_what_is_not_whole_or_out_of_range(given: object) -> None:
    assert refusal(StrictInteger(minimum=1, maximum=60), given)


def test_integer_takes_a_whole_number_however_written() -> None:
    assert StrictInteger().deserialize(3.0) == 3


@pytest.mark.parametrize("given", ["", "x" * 6, "a\x00", "a\n", "a\x85", 5, None])
def test_text_refuses_wrong_lengths_and_control_characters(given: object) -> None:
    assert refusal(StrictText(max_length=5), given)


def test_text_of_several_lines_is_taken_where_allowed() -> None:
    assert StrictText(max_length=9, lines=True).deserialize("a\nb") == "a\nb"
    assert StrictText(max_length=9).deserialize("Blåbær") == "Blåbær"


@pytest.mark.parametrize("given", ["pine", "OAK", 1, None, [], {}, True])
def test_choice_refuses_other_words_and_lists_its_own(given: object) -> None:
    messages = refusal(Choice(Wood), given)
    assert given is None or messages[0].accepted == ("oak", "ash")


def test_choice_goes_both_ways() -> None:
    assert Choice(Wood).deserialize("ash") is Wood.ASH
    assert Choice(Wood).serialize("w", {"w": Wood.ASH}) == "ash"
    assert Choice(Wood).serialize("w", {"w": "ash"}) == "ash"
    assert Choice(Wood).serialize("w", {"w": None}) is None


@pytest.mark.parametrize(
    "given", ["2026-03-01T10:30:00", "2026-03-01", 5, "", "0001-01-01T00:00:00+05:00", "yesterday"]
)
def test_time_without_offset_or_out_of_the_calendar_is_refused(given: object) -> None:
    assert refusal(UtcDateTime(), given)


def test_time_is_turned_to_utc_and_written_with_z() -> None:
    field = UtcDateTime()
    moment = field.deserialize("2026-03-01T12:30:00+02:00")
    assert moment == datetime(2026, 3, 1, 10, 30, tzinfo=UTC)
    assert moment.tzinfo is UTC
    east = moment.astimezone(timezone(timedelta(hours=9)))
    assert field.serialize("t", {"t": east}) == "2026-03-01T10:30:00Z"


@given(given=ANYTHING)
def test_other_fields_raise_nothing_but_validation_errors(given: object) -> None:
    for field in (
        StrictNumber(),
        StrictInteger(),
        StrictText(max_length=9),
        Choice(Wood),
        UtcDateTime(),
    ):
        try:
            field.deserialize(given)
        except ValidationError:
            continue
