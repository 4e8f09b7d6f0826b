import re

import pytest

from wortwright.api.shapes.session import ReadingIn
from wortwright.pages.reading_form import FIELDS, OTHER_WAYS, as_typed, fields_of, read_form
from wortwright.pages.wording import STAGES
from wortwright.records.session import Stage
from wortwright.units import UnitSystem


def test_every_stage_of_the_day_has_a_form_and_a_name() -> None:
    stages = {stage.value for stage in Stage}
    assert FIELDS.keys() == STAGES.keys() == stages
    assert OTHER_WAYS.keys() <= stages


def test_every_field_is_one_that_the_api_takes() -> None:
    taken = ReadingIn().fields.keys()
    assert {one.name for stage in FIELDS for one in fields_of(stage)} <= taken


@pytest.mark.parametrize(("text", "number"), [("27.5", 27.5), ("27,5", 27.5), (" 27 ", 27.0)])
def test_a_number_may_have_the_comma_of_a_phone(text: str, number: float) -> None:
    typed = read_form({"volume": text}, "pre_boil", UnitSystem.METRIC)
    assert typed.document == {"stage": "pre_boil", "volume": {"value": number, "unit": "L"}}


@pytest.mark.parametrize("text", ["abc", "1.2.3", "-3", "1e5", "12 L", "٣", "9" * 400, "1,234.5"])
def test_what_is_no_plain_number_is_refused_at_its_field(text: str) -> None:
    typed = read_form({"volume": text, "gravity": "1.050"}, "pre_boil", UnitSystem.METRIC)
    assert typed.wrong.keys() == {"volume"}
    assert "volume" not in typed.document


def test_a_gravity_without_its_point_is_shown_how_to_be_written() -> None:
    typed = read_form({"gravity": "1045"}, "pre_boil", UnitSystem.METRIC)
    assert typed.wrong == {"gravity": "Write it as 1.045."}


def test_a_browser_that_checks_refuses_what_the_service_refuses() -> None:
    for text in ("27.5", "27,5", "1.045", "1045", "abc", "12 L", "-3", ""):
        for one in fields_of("mid_boil"):
            typed = read_form({one.name: text}, "mid_boil", UnitSystem.METRIC)
            in_browser = text == "" or re.fullmatch(one.pattern, text) is not None
            assert (one.name not in typed.wrong) == in_browser


def test_numbers_are_in_the_units_of_the_form() -> None:
    form = {"volume": "6", "volume_temperature": "200", "gravity": "1.05", "ph": "5.4"}
    document = read_form(form, "pre_boil", UnitSystem.US).document
    assert document["volume"]["unit"] == "US gal"
    assert document["volume_temperature"]["unit"] == "degF"
    assert document["gravity"] == {"value": 1.05, "unit": "SG"}
    assert "ph" not in document


def test_a_field_of_another_stage_is_left_out() -> None:
    assert read_form({"volume": "20"}, "mash_in", UnitSystem.METRIC).document == {
        "stage": "mash_in"
    }


def test_a_reading_is_told_as_it_was_typed() -> None:
    nothing = dict.fromkeys(("volume_temperature", "depth", "brix", "temperature", "ph"))
    reading = {
        **nothing,
        "volume": {"value": 24.5, "unit": "L"},
        "volume_temperature": {"value": 96.0, "unit": "degC"},
        "gravity": {"value": 1.045, "unit": "SG"},
        "gravity_temperature": None,
    }
    assert as_typed(reading) == "24.5 L at 96.0 °C; 1.045"
