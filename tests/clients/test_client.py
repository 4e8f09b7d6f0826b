import json
from datetime import UTC, datetime

import httpx
import pytest
from flask import Flask

from api.conftest import PEPPER
from clients.conftest import RECIPE, SETUP, brewed_on
from clients.flaky import Flaky
from wortwright.api.extensions import DATABASE
from wortwright.records.brewer import Club as ClubRecord
from wortwright.usecases.clubs import create_club
from wortwright_client import (
    Client,
    InvalidRequestError,
    NotFoundError,
    Quantity,
    UnauthorizedError,
)
from wortwright_client.documents.amounts import Amount
from wortwright_client.models.recipes import Recipe
from wortwright_client.models.setups import Setup


def test_whole_path_from_brewer_to_what_a_session_taught(club: Client) -> None:
    brewer = club.create_brewer({"name": "Ada Millrace", "units": "metric"})
    setup = club.create_setup({**SETUP, "brewer_id": brewer.id})
    recipe = club.create_recipe({**RECIPE, "owner": brewer.id})
    before = club.create_scaling({"setup_id": setup.id, "recipe_id": recipe.id})
    session = club.create_session(
        {
            "setup_id": setup.id,
            "scaling_id": before.id,
            "brewed_at": datetime(2026, 3, 7, 10, tzinfo=UTC),
            "grist": [{"name": line.name, "mass": line.to_weigh} for line in before.plan.grist],
            "planned_preboil_volume": before.plan.water.preboil,
            "boil_time": before.plan.temperatures.boil_time,
        }
    )
    told = club.add_reading(session.id, {"stage": "post_boil", "volume": "22 L", "gravity": 1.085})
    learnt = club.close_session(session.id)
    after = club.create_scaling({"setup_id": setup.id, "recipe_id": recipe.id})

    assert (session.state, told.state, learnt.session.state) == ("open", "open", "closed")
    assert told.readings[0].gravity == Quantity(value=1.085, unit="SG")
    assert learnt.calibration.session_ids == (session.id,)
    assert learnt.calibration_before is not None
    assert learnt.calibration.number == learnt.calibration_before.number + 1
    assert before.computed_from.calibration_version == learnt.calibration_before.number
    assert after.computed_from.calibration_version == learnt.calibration.number
    assert club.get_scaling(before.id) == before
    assert club.get_present_calibration(setup.id).id == learnt.calibration.id


def test_scaling_that_is_not_stored_leaves_nothing(club: Client, setup: Setup) -> None:
    computed = club.create_scaling({"setup_id": setup.id, "recipe": RECIPE}, store=False)
    stored = club.create_scaling({"setup_id": setup.id, "recipe": RECIPE})
    assert computed.plan == stored.plan
    assert [scaling.id for scaling in club.list_scalings()] == [stored.id]


def test_batch_tells_of_each_recipe_what_its_own_plan_tells(
    club: Client, setup: Setup, recipe: Recipe
) -> None:
    batch = club.compute_scalings({"setup_id": setup.id, "recipe_ids": [recipe.id]})
    alone = club.create_scaling({"setup_id": setup.id, "recipe_id": recipe.id}, store=False)
    (item,) = batch.items
    assert item.recipe_id == recipe.id
    assert item.result is not None
    assert item.result.asked.volume == alone.plan.asked.volume
    assert item.result.asked.gravity == alone.plan.asked.gravity
    assert item.result.fits == alone.plan.fit.fits
    assert item.result.reaches_gravity == alone.plan.fit.reaches_gravity


def test_units_of_one_answer_are_chosen_with_it(club: Client, recipe: Recipe) -> None:
    assert club.get_recipe(recipe.id).volume == Quantity(value=20.0, unit="L")
    us = club.get_recipe(recipe.id, units="us").volume
    # 1 US gal = 231 in3 = 3.785411784 L (NIST Handbook 44, 2023, Appendix C).
    assert us.unit == "US gal"
    assert us.value == pytest.approx(20.0 / 3.785411784, rel=1e-6)


def test_amounts_are_taken_as_text_quantity_or_document(club: Client) -> None:
    def volume(amount: Amount) -> Quantity:
        return club.create_recipe({**RECIPE, "owner": "club", "volume": amount}).volume

    assert (
        volume("5 imp gal")
        == volume(Quantity(value=5.0, unit="imp gal"))
        == volume({"value": 5, "unit": "imp gal"})
    )


def test_what_was_read_can_be_changed_and_sent_back(
    club: Client, setup: Setup, recipe: Recipe
) -> None:
    session = club.create_session(brewed_on(setup))
    brewer = club.get_brewer(setup.brewer_id)

    renamed = recipe.to_document()
    renamed["name"] = "Sluice Gate, second brew"
    changed = club.replace_recipe(recipe.id, renamed, etag=recipe.etag)
    assert changed.to_document() == renamed
    assert changed.grist == recipe.grist
    assert changed.etag != recipe.etag

    same_setup = club.replace_setup(setup.id, setup.to_document(), etag=setup.etag)
    assert same_setup.to_document() == setup.to_document()
    same_session = club.replace_session(session.id, session.to_document(), etag=session.etag)
    assert same_session.to_document() == session.to_document()
    assert same_session.grist == session.grist
    same_brewer = club.replace_brewer(brewer.id, brewer.to_document(), etag=brewer.etag)
    assert same_brewer.to_document() == brewer.to_document()


def test_what_the_service_assumed_is_not_sent_back_as_a_statement(recipe: Recipe) -> None:
    pale = recipe.grist[0]
    assert {"extract_yield", "moisture", "colour"} <= set(pale.assumed)
    assert recipe.to_document()["grist"][0].keys() == {"name", "mass"}


def test_sessions_are_set_aside_reopened_and_told_apart(club: Client, setup: Setup) -> None:
    session = club.create_session(brewed_on(setup))
    aside = club.set_session_aside(session.id, reason="The hydrometer was cracked.").session
    assert aside.set_aside_because == "The hydrometer was cracked."
    assert [one.id for one in club.list_sessions(state="set_aside")] == [session.id]
    assert not list(club.list_sessions(setup_id=setup.id, state="open"))
    assert club.reopen_session(session.id).session.state == "open"


def test_state_change_gives_the_etag_that_the_next_change_needs(club: Client, setup: Setup) -> None:
    session = club.create_session(brewed_on(setup))
    closed = club.close_session(session.id).session
    assert closed.etag == club.get_session(session.id).etag != session.etag
    club.delete_session(session.id, etag=closed.etag)
    with pytest.raises(NotFoundError):
        club.get_session(session.id)


def test_everything_stored_can_be_deleted(club: Client, setup: Setup, recipe: Recipe) -> None:
    scaling = club.create_scaling({"setup_id": setup.id, "recipe_id": recipe.id})
    club.delete_scaling(scaling.id, etag=scaling.etag)
    club.delete_recipe(recipe.id, etag=recipe.etag)
    club.delete_setup(setup.id, etag=club.get_setup(setup.id).etag)
    brewer = club.get_brewer(setup.brewer_id)
    club.delete_brewer(brewer.id, etag=brewer.etag)
    for rest in (
        club.list_scalings(),
        club.list_recipes(),
        club.list_setups(),
        club.list_brewers(),
    ):
        assert not list(rest)


def test_calibrations_are_listed_and_given_by_number(club: Client, setup: Setup) -> None:
    (first,) = club.list_calibrations(setup.id)
    assert first.number == 0
    given = club.get_calibration(setup.id, 0)
    assert (given.id, given.session_count) == (first.id, 0)


def test_key_opens_until_it_is_revoked(club: Client, flaky: Flaky, setup: Setup) -> None:
    key = club.create_key({"kind": "brewer", "name": "kitchen", "brewer_id": setup.brewer_id})
    with Client("http://brewing.example", key.text, transport=flaky) as brewer:
        assert [one.id for one in brewer.list_setups()] == [setup.id]
        club.revoke_key(key.id)
        with pytest.raises(UnauthorizedError):
            list(brewer.list_setups())
    assert club.get_key(key.id).revoked_at is not None
    assert key.id in {one.id for one in club.list_keys()}


def test_brewer_moves_to_another_club_with_everything(
    club: Client, flaky: Flaky, app: Flask, setup: Setup
) -> None:
    recipe = club.create_recipe({**RECIPE, "owner": setup.brewer_id})
    session = club.create_session(brewed_on(setup))
    club.close_session(session.id)
    kept = json.dumps(club.export_brewer(setup.brewer_id))
    club.delete_brewer(setup.brewer_id, etag=club.get_brewer(setup.brewer_id).etag)

    _, key = create_club(app.extensions[DATABASE], ClubRecord("Weir Street"), PEPPER)
    with Client("http://brewing.example", key, transport=flaky) as other:
        moved = other.import_brewer(json.loads(kept))
        assert moved.name == "Ada Millrace"
        assert other.get_recipe(recipe.id).to_document() == recipe.to_document()
        assert [one.state for one in other.list_sessions()] == ["closed"]
        assert other.get_present_calibration(setup.id).session_ids == (session.id,)


def test_links_are_minted_listed_and_revoked_like_keys(
    club: Client, setup: Setup, recipe: Recipe
) -> None:
    session = club.create_session(brewed_on(setup))
    scaling = club.create_scaling({"setup_id": setup.id, "recipe_id": recipe.id})
    to_kettle = club.create_session_link(session.id, {"name": "Taped to the kettle"})
    to_sheet = club.create_scaling_link(scaling.id, {})
    assert to_kettle.text in to_kettle.address
    assert [link.id for link in club.list_session_links(session.id)] == [to_kettle.id]
    to_chart = club.create_setup_link(setup.id, {})
    assert to_chart.text in to_chart.page
    assert [link.id for link in club.list_setup_links(setup.id)] == [to_chart.id]
    club.revoke_key(to_sheet.id)
    (revoked,) = club.list_scaling_links(scaling.id)
    assert revoked.revoked_at is not None


def test_key_sees_its_own_club(club: Client) -> None:
    (own,) = club.list_clubs()
    assert own.name == club.get_club(own.id).name == "Millrace Lane"


def test_key_read_from_a_file_may_end_with_a_newline(club_key: str, flaky: Flaky) -> None:
    with Client("http://brewing.example", f"{club_key}\n", transport=flaky) as client:
        assert len(list(client.list_clubs())) == 1
    assert flaky.requests[-1].headers["Authorization"] == f"Bearer {club_key}"


def test_service_may_live_below_a_path(flaky: Flaky, club_key: str) -> None:
    class Prefixed(httpx.BaseTransport):
        def handle_request(self, request: httpx.Request) -> httpx.Response:
            assert request.url.path.startswith("/brewing/v1/")
            request.url = request.url.copy_with(path=request.url.path.removeprefix("/brewing"))
            return flaky.handle_request(request)

    with Client("http://club.example/brewing/", club_key, transport=Prefixed()) as client:
        for name in ("Ada Millrace", "Ben Weir", "Cleo Lock"):
            client.create_brewer({"name": name})
        assert len(list(client.list_brewers(page_size=2))) == 3


def test_address_without_scheme_is_refused_at_once() -> None:
    with pytest.raises(ValueError, match="https://"):
        Client("brewing.example", "key")


def test_body_that_is_refused_tells_where_and_what_is_accepted(club: Client) -> None:
    with pytest.raises(InvalidRequestError) as caught:
        club.create_recipe({**RECIPE, "owner": "club", "volume": "20 kg"})
    (refusal,) = caught.value.errors
    assert refusal.pointer == "/volume"
    assert any("L" in one for one in refusal.accepted)
    assert "/volume" in str(caught.value)


def test_id_with_a_slash_stays_one_part_of_the_path(club: Client, flaky: Flaky) -> None:
    with pytest.raises(NotFoundError):
        club.get_setup("../keys")
    assert flaky.requests[-1].url.raw_path == b"/v1/setups/..%2Fkeys"
