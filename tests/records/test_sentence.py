"""Sentences keep their amounts as numbers until somebody's units are known."""

import pytest

from wortwright.api import unit_choice
from wortwright.api.sentences import spoken, told
from wortwright.brewing.errors import OutOfRangeError, require_between
from wortwright.planning.plan import Finding
from wortwright.records.dimension import Dimension
from wortwright.records.sentence import (
    Amount,
    Sentence,
    capitalised,
    degrees,
    grams,
    in_a_row,
    in_percent,
    kilograms,
    litres,
    say,
)
from wortwright.store.documents import from_document, to_document, to_json


@pytest.mark.parametrize(
    ("units", "expected"),
    [
        # 20 L are 5.283 US gal (231 cubic inches each) and 4.399 imperial ones; 4.536 kg 10 lb.
        (None, "20.0 L with 4.54 kg and 28 g at 66.0 °C"),
        ("metric", "20.0 L with 4.54 kg and 28 g at 66.0 °C"),
        ("us", "5.28 US gal with 10.00 lb and 1.00 oz at 151 °F"),
        ("imperial", "4.40 imp gal with 10.00 lb and 1.00 oz at 151 °F"),
    ],
)
def test_a_sentence_is_written_in_the_units_of_the_answer(units: str | None, expected: str) -> None:
    said = say(
        "{volume} with {grain} and {hops} at {warm}",
        volume=litres(20.0),
        grain=kilograms(4.5359237),
        hops=grams(0.028349523),
        warm=degrees(66.0),
    )
    unit_choice.choose(units)
    try:
        assert spoken(said) == expected
    finally:
        unit_choice.choose(None)


def test_what_looks_like_a_place_in_a_name_is_none() -> None:
    named = say("{name}: {volume}", name="{volume} {0} {", volume=litres(1.0))
    assert spoken(named) == "{volume} {0} {: 1.0 L"


def test_percent_is_written_after_a_space_with_the_decimals_that_mean_something() -> None:
    assert in_percent(0.254) == "25 %"
    assert in_percent(0.0349, 1) == "3.5 %"
    assert in_percent(-0.12, signed=True) == "-12 %"
    assert in_percent(1.0, signed=True) == "+100 %"


def test_sentences_go_into_sentences_and_words_that_meet_are_one_part() -> None:
    inner = say("a kettle {more} fuller", more=litres(2.0))
    outer = say("{share:.0%} from {inner}, {times} times", share=0.254, inner=inner, times=2)
    assert outer == Sentence(("25% from a kettle ", litres(2.0), " fuller, 2 times"))
    assert in_a_row((litres(1.0), "two"), ", then ") == Sentence((litres(1.0), ", then two"))


def test_a_sentence_begins_with_a_capital_letter() -> None:
    assert capitalised("mix") == "Mix"
    assert capitalised(say("mix {water}", water=litres(1.0))) == Sentence(("Mix ", litres(1.0)))
    assert capitalised(say("{water} is", water=litres(1.0))) == Sentence((litres(1.0), " is"))


def test_what_the_science_refuses_is_told_in_the_units_of_the_answer() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        require_between("mash temperature", 90.0, 20.0, 80.0, "degC")
    assert str(refused.value) == "mash temperature 90 is outside 20 to 80 degC"
    unit_choice.choose("us")
    try:
        assert told(refused.value) == "mash temperature 194 °F is outside 68 °F to 176 °F"
    finally:
        unit_choice.choose(None)


def test_a_stored_sentence_comes_back_and_so_does_a_text_of_before() -> None:
    found = Finding("does_not_fit", say("{over} too much", over=litres(3.2)))
    document = to_document(found)
    assert '"measures":"volume"' in to_json(document)
    assert from_document(document, Finding) == found
    before = {"code": "does_not_fit", "detail": "3.2 L too much"}
    assert from_document(before, Finding) == Finding("does_not_fit", "3.2 L too much")


def test_a_log_is_told_the_base_unit() -> None:
    written = str(say("{over} too much", over=Amount(3.2, Dimension.VOLUME)))
    assert written == "3.2 (volume in base units) too much"
