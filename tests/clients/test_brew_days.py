from datetime import datetime, timedelta, timezone
from xml.etree import ElementTree

import pytest

from clients.conftest import RECIPE, brewed_on
from wortwright_client import Client, InvalidRequestError, NotFoundError, Quantity
from wortwright_client.models.recipes import Recipe
from wortwright_client.models.setups import Setup


def test_reading_of_a_planned_brew_tells_where_it_will_end(
    club: Client, setup: Setup, recipe: Recipe
) -> None:
    scaling = club.create_scaling({"setup_id": setup.id, "recipe_id": recipe.id})
    plan = scaling.plan
    session = club.create_session({**brewed_on(setup), "scaling_id": scaling.id, "readings": []})
    told = club.add_reading(
        session.id,
        {
            "stage": "pre_boil",
            "volume": plan.water.preboil,
            "gravity": plan.forecast.preboil_gravity.mean,
        },
    )
    assert told.corrected.stage == "pre_boil"
    assert told.log is not None
    outlook = club.get_outlook(session.id)
    assert outlook.session_id == session.id
    assert outlook.corrected == (told.corrected,)
    assert outlook.log == told.log
    same = club.replace_session(session.id, told.to_document(), etag=told.etag)
    assert same.readings == told.readings


def test_reading_of_an_unplanned_brew_is_corrected_only(club: Client, setup: Setup) -> None:
    session = club.create_session(brewed_on(setup))
    told = club.add_reading(session.id, {"stage": "final", "gravity": 1.012})
    assert told.corrected.gravity == Quantity(value=1.012, unit="SG")
    assert told.log is None


def test_schedule_starts_when_it_is_told_to(club: Client, setup: Setup, recipe: Recipe) -> None:
    scaling = club.create_scaling({"setup_id": setup.id, "recipe_id": recipe.id})
    starts_at = datetime(2026, 3, 7, 9, 30, tzinfo=timezone(timedelta(hours=1)))
    schedule = club.get_schedule(scaling.id, starts_at=starts_at)
    assert schedule.steps[0].at == starts_at
    assert schedule.steps[0].at < schedule.fermenter_free_at < schedule.ready_at
    calendar = club.get_schedule_calendar(scaling.id, starts_at="2026-03-07T08:30:00Z")
    assert calendar.count("BEGIN:VEVENT") == len(schedule.steps)
    assert "20260307T083000Z" in calendar


def test_what_is_no_json_is_refused_like_the_rest(
    club: Client, setup: Setup, recipe: Recipe
) -> None:
    scaling = club.create_scaling({"setup_id": setup.id, "recipe_id": recipe.id})
    with pytest.raises(InvalidRequestError) as caught:
        club.get_schedule_calendar(scaling.id)
    assert [refusal.parameter for refusal in caught.value.errors] == ["starts_at"]
    club.delete_scaling(scaling.id, etag=scaling.etag)
    with pytest.raises(NotFoundError) as missing:
        club.get_brew_sheet(scaling.id)
    assert missing.value.type != "about:blank"


def test_pages_and_drawings_come_as_their_text(club: Client, setup: Setup, recipe: Recipe) -> None:
    scaling = club.create_scaling({"setup_id": setup.id, "recipe_id": recipe.id})
    sheet = club.get_brew_sheet(scaling.id)
    assert sheet.lower().startswith("<!doctype html>")
    assert recipe.name in sheet
    page = club.get_calibration_page(setup.id)
    assert setup.name in page
    plain = ElementTree.fromstring(club.get_calibration_chart(setup.id))
    marked = ElementTree.fromstring(club.get_calibration_chart(setup.id, scaling_id=scaling.id))
    assert plain.tag == "{http://www.w3.org/2000/svg}svg"
    assert len(list(marked.iter())) > len(list(plain.iter()))


def test_stored_recipe_is_audited_by_the_formula_asked_for(club: Client, recipe: Recipe) -> None:
    audit = club.audit_recipe(recipe.id, bitterness_formula="rager")
    assert audit.bitterness_formula == "rager"
    assert audit == club.compute_recipe_audit({"recipe": RECIPE, "bitterness_formula": "rager"})
    assert audit.bitterness != club.audit_recipe(recipe.id).bitterness
