import re

import pytest

from wortwright.api.sentences import spoken
from wortwright.planning.cautions import all_cautions, caution

NEEDED = (
    "boil_over", "scald", "lifting", "wet_bag", "gas_burner", "strong_drink", "fermentation_gas",
    "bottle_pressure", "glass", "caustic", "acid", "lime", "sealed_vessel", "co2_cylinder",
    "metabisulfite", "alcohol_law", "private_well", "sealed_kettle",
)  # fmt: skip


@pytest.mark.parametrize("code", NEEDED)
def test_every_hazard_of_a_brew_day_has_its_caution(code):
    assert caution(code).code == code


def test_codes_are_unique():
    codes = [each.code for each in all_cautions()]
    assert len(codes) == len(set(codes))


@pytest.mark.parametrize("each", all_cautions(), ids=lambda each: each.code)
def test_a_caution_is_in_whole_sentences_with_a_stable_code(each):
    assert re.fullmatch(r"[a-z][a-z0-9_]*", each.code)
    for text in map(spoken, (each.hazard, each.advice)):
        assert text[0].isupper()
        assert text.endswith(".")
        assert "  " not in text


def test_no_caution_asks_to_taste_a_chemical():
    for code in ("acid", "lime", "caustic"):
        advice = spoken(caution(code).advice)
        assert "taste" not in advice or "do not taste" in advice


@pytest.mark.parametrize(
    ("code", "whom"),
    [
        ("gas_burner", "licensed"),
        ("electric_heating", "licensed"),
        ("caustic", "label"),
        ("acid", "label"),
        ("alcohol_law", "law"),
        ("lime", "doctor"),
        ("private_well", "laboratory"),
    ],
)
def test_a_caution_defers_to_who_knows_better(code, whom):
    assert whom in caution(code).advice


def test_an_unknown_code_is_an_error_of_the_caller():
    with pytest.raises(KeyError):
        caution("dragons")
