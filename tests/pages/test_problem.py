from pages.house import plain
from wortwright.pages.problem import problem_page

NO_KEY = {"title": "A valid key is needed", "status": 401, "detail": "No key was given."}


def test_a_person_is_told_what_to_do_and_no_header() -> None:
    text = plain(problem_page(NO_KEY, nonce="n"))
    assert "Ask whoever gave it to you for a new one." in text
    assert "No key was given" not in text


def test_another_refusal_is_told_in_its_own_words() -> None:
    problem = {
        "title": "A parameter is refused",
        "status": 422,
        "detail": "'cubits' is no system of units.",
        "errors": [{"parameter": "units", "detail": "Write metric, us or imperial."}],
    }
    text = plain(problem_page(problem, nonce="n"))
    assert "'cubits' is no system of units." in text
    assert "Write metric, us or imperial." in text


def test_what_was_sent_is_no_markup() -> None:
    problem = {"title": "<b>x</b>", "status": 422, "detail": "<i>y</i>"}
    page = problem_page(problem, nonce="n")
    assert "<b>x" not in page
    assert "<i>y" not in page
