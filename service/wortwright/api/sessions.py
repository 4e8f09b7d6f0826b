"""Sessions."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from flask import Response

from wortwright.api import examples
from wortwright.api.answers import with_version
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.conditional import required_version
from wortwright.api.extensions import database
from wortwright.api.fields import Choice
from wortwright.api.idempotency import answer_stored, answer_unstored, work
from wortwright.api.paging import PageQuery, page_answer, page_schema
from wortwright.api.shapes.brew_day import BrewDayOut, ReadingAddedOut
from wortwright.api.shapes.common import Id, StoreQuery
from wortwright.api.shapes.learnt import LearntOut
from wortwright.api.shapes.session import (
    NewSession,
    NewSessionIn,
    ReadingIn,
    SessionContentOut,
    SessionIn,
    SessionOut,
    SettingAsideIn,
    TrustingIn,
)
from wortwright.records.session import Reading, Session, SessionState
from wortwright.store.sessions import StoredSession
from wortwright.usecases import brew_days
from wortwright.usecases import sessions as use
from wortwright.usecases.work import Work

SESSION = SessionOut()
CONTENT = SessionContentOut()
SESSIONS = page_schema(SESSION)
LEARNT = LearntOut()
READ = ReadingAddedOut()

blueprint = Blueprint(
    "sessions",
    __name__,
    url_prefix="/v1/sessions",
    description="Brews: what went in, what was read, what it teaches.",
)


class SessionQuery(PageQuery):
    """Which sessions to list."""

    setup_id = Id(load_default=None)
    state = Choice(SessionState, load_default=None)


@blueprint.route("", methods=["POST"])
@requires("club", "brewer")
@blueprint.arguments(StoreQuery(), location="query")
@blueprint.arguments(
    NewSessionIn(), example={**examples.SESSION, "setup_id": examples.CLUB_OR_BREWER_ID}
)
@blueprint.stores(201, SESSION)
@blueprint.alt_response(200, schema=CONTENT, description="Checked and not stored.")
def create_session(query: dict[str, bool], new: NewSession) -> Response:
    """Store a brew. One that is closed already teaches its setup at once."""
    if not query["store"]:
        use.check_session(database(), caller(), new.setup_id, new.scaling_id)
        return answer_unstored(CONTENT, new.session)
    return answer_stored(
        lambda work: use.create_session(work, new.setup_id, new.scaling_id, new.session),
        SESSION,
        location=_address,
    )


@blueprint.route("", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.arguments(SessionQuery(), location="query")
@blueprint.response(200, SESSIONS)
def list_sessions(query: dict[str, Any]) -> dict[str, Any]:
    """List the sessions that the key may read, newest first."""
    asked = query["page"]
    found = use.list_sessions(
        database(), caller(), asked.after, asked.limit, query["setup_id"], query["state"]
    )
    return page_answer(found)


@blueprint.route("/<uuid:session_id>", methods=["GET"])
@requires("club", "brewer", "page", "link")
@blueprint.versioned
@blueprint.response(200, SESSION)
def get_session(session_id: UUID) -> Any:
    """Give a session."""
    return with_version(use.get_session(database(), caller(), session_id))


@blueprint.route("/<uuid:session_id>", methods=["PUT"])
@requires("club", "brewer")
@blueprint.versioned
@blueprint.arguments(SessionIn(), example=examples.SESSION)
@blueprint.response(200, SESSION)
def replace_session(session: Session, session_id: UUID) -> Any:
    """Write a session anew, its state with it."""
    return with_version(use.replace_session(work(), session_id, required_version(), session))


@blueprint.route("/<uuid:session_id>", methods=["DELETE"])
@requires("club", "brewer")
@blueprint.versioned
@blueprint.response(204)
def delete_session(session_id: UUID) -> None:
    """Delete a session, and forget what it taught."""
    use.delete_session(work(), session_id, required_version())


@blueprint.route("/<uuid:session_id>/readings", methods=["POST"])
@requires("club", "brewer", "page", "link")
@blueprint.arguments(ReadingIn(), example=examples.READING)
@blueprint.stores(201, READ)
def add_reading(reading: Reading, session_id: UUID) -> Response:
    """Add a reading to a session; see it corrected, where the brew will end, what corrects it."""
    return answer_stored(
        lambda work: brew_days.add_reading(work, session_id, reading),
        READ,
        location=lambda day: _address(day.session),
    )


@blueprint.route("/<uuid:session_id>/outlook", methods=["GET"])
@requires("club", "brewer", "page", "link")
@blueprint.response(200, BrewDayOut())
def get_outlook(session_id: UUID) -> brew_days.BrewDay:
    """Give the readings as corrected, where the brew will end, and what corrects it from here."""
    return brew_days.get_brew_day(database(), caller(), session_id)


@blueprint.route("/<uuid:session_id>/closing", methods=["POST"])
@requires("club", "brewer")
@blueprint.stores(200, LEARNT)
def close_session(session_id: UUID) -> Response:
    """Close an open session: from now on it teaches its setup."""
    return _learnt(lambda work: use.close_session(work, session_id))


@blueprint.route("/<uuid:session_id>/setting-aside", methods=["POST"])
@requires("club", "brewer")
@blueprint.arguments(SettingAsideIn(), example=examples.SETTING_ASIDE)
@blueprint.stores(200, LEARNT)
def set_session_aside(why: dict[str, str], session_id: UUID) -> Response:
    """Set a session aside: it stays on record and teaches nothing."""
    return _learnt(lambda work: use.set_session_aside(work, session_id, why["reason"]))


@blueprint.route("/<uuid:session_id>/reopening", methods=["POST"])
@requires("club", "brewer")
@blueprint.stores(200, LEARNT)
def reopen_session(session_id: UUID) -> Response:
    """Open a session again: until it is closed it teaches nothing."""
    return _learnt(lambda work: use.reopen_session(work, session_id))


@blueprint.route("/<uuid:session_id>/trusting", methods=["POST"])
@requires("club", "brewer")
@blueprint.arguments(TrustingIn(), example=examples.TRUSTING)
@blueprint.stores(200, LEARNT)
def trust_session(why: dict[str, str], session_id: UUID) -> Response:
    """Overrule the doubt of a session: its readings count in full, and it is no finding."""
    return _learnt(lambda work: use.trust_session(work, session_id, why["reason"]))


@blueprint.route("/<uuid:session_id>/doubting", methods=["POST"])
@requires("club", "brewer")
@blueprint.stores(200, LEARNT)
def doubt_session(session_id: UUID) -> Response:
    """Take the overruling of a doubt back: the session is judged by the others again."""
    return _learnt(lambda work: use.doubt_session(work, session_id))


def _learnt(do: Callable[[Work], use.Learnt]) -> Response:
    return answer_stored(do, LEARNT, 200, location=lambda made: _address(made.session))


def _address(session: StoredSession) -> str:
    return f"/v1/sessions/{session.id}"
