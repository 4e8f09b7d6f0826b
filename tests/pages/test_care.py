from wortwright.pages.care import SECTION_OF, by_section, doubts
from wortwright.planning.cautions import all_cautions


def row(code: str) -> dict[str, str]:
    return {"code": code, "hazard": "h", "advice": "a"}


def test_every_caution_has_its_place_in_the_day() -> None:
    assert {each.code for each in all_cautions()} == SECTION_OF.keys()


def test_a_caution_stands_once_where_it_belongs() -> None:
    parts = [{"cautions": [row("boil_over"), row("glass")]}, {"cautions": [row("glass")]}]
    sorted_ = by_section(parts)
    assert [one["code"] for one in sorted_["boil"]] == ["boil_over"]
    assert [one["code"] for one in sorted_["finish"]] == ["glass"]


def test_a_caution_that_nobody_placed_is_told_at_the_start() -> None:
    assert by_section([{"cautions": [row("falling_sky")]}])["start"] == [row("falling_sky")]


def test_a_doubt_is_told_once() -> None:
    same = {"code": "c", "detail": "A doubt."}
    assert doubts([{"warnings": [same]}, {"warnings": [same]}]) == ["A doubt."]
