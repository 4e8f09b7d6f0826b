"""The kettle log as a page: a form for each stage, that works with and without its script."""

import hashlib
import secrets
from dataclasses import replace
from importlib.resources import files
from typing import Any
from uuid import UUID

import flask
from flask import Response, redirect, request
from marshmallow import ValidationError

from wortwright.api import unit_choice
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.extensions import database
from wortwright.api.idempotency import HEADER
from wortwright.api.page_answers import HTML, PAGE, choose_units, page, refusal_as_page
from wortwright.api.problems import CONTENT_TYPE as PROBLEM
from wortwright.api.problems import Problem
from wortwright.api.shapes.brew_day import BrewDayOut
from wortwright.api.shapes.plan import PlanOut
from wortwright.api.shapes.session import ReadingIn, SessionOut
from wortwright.api.shapes.setup import SetupContentOut
from wortwright.pages.kettle_log import kettle_log
from wortwright.pages.reading_form import FIELDS, Typed, fields_of, read_form
from wortwright.records.session import Reading, SessionState
from wortwright.units import UnitSystem
from wortwright.usecases import brew_days
from wortwright.usecases.basis import CannotScaleError
from wortwright.usecases.kettle_log_page import DayShown, show_brew_day
from wortwright.usecases.sessions import SessionStateError
from wortwright.usecases.work import AlreadyAnsweredError, Retry, Sent, Work

_SCRIPT = "kettle-log.js"
_ONCE, _STAGE = "once", "stage"
_TYPED = sorted({one.name for stage in FIELDS for one in fields_of(stage)})
FORM = {
    "content": {
        "application/x-www-form-urlencoded": {
            "schema": {
                "type": "object",
                "properties": {
                    _STAGE: {"type": "string", "enum": list(FIELDS)},
                    _ONCE: {
                        "type": "string",
                        "description": f"As {HEADER}, where no header can be sent.",
                    },
                    **{name: {"type": "string"} for name in _TYPED},
                },
            }
        }
    }
}

blueprint = Blueprint(
    "log_pages",
    __name__,
    url_prefix="/v1/sessions/<uuid:session_id>",
    description="The kettle log, for a person with one free hand.",
)
blueprint.after_request(refusal_as_page)

scripts = flask.Blueprint("scripts", __name__)


@scripts.get(f"/pages/{_SCRIPT}")
def kettle_log_script() -> Response:
    """Give the script of the kettle log."""
    text = (files("wortwright.pages") / "static" / _SCRIPT).read_text(encoding="utf-8")
    answer = Response(text, content_type="text/javascript; charset=utf-8")
    answer.headers["Cache-Control"] = "public, max-age=300"
    return answer


@blueprint.route("/log", methods=["GET"])
@requires("club", "brewer", "page", "link")
@blueprint.response(200, PAGE, content_type=HTML)
def get_kettle_log(session_id: UUID) -> Response:
    """Show a brew day: where it will end, what corrects it, and a form for the next reading."""
    shown = show_brew_day(database(), caller(), session_id)
    choose_units(shown.units)
    return _page(shown)


@blueprint.route("/log", methods=["POST"])
@requires("club", "brewer", "page", "link")
@blueprint.takes_form(FORM)
@blueprint.response(303, description="Written down; the log as it now is.")
@blueprint.alt_response(422, schema=PAGE, content_type=HTML, description="The form again.")
@blueprint.alt_response(422, schema=Problem, content_type=PROBLEM, description="Refused.")
def write_kettle_log(session_id: UUID) -> Response:
    """Take a reading as a browser sends a form, and lead back to the log."""
    shown = show_brew_day(database(), caller(), session_id)
    state = shown.day.session.value.state
    if state is not SessionState.OPEN:
        raise SessionStateError(state, "added to")
    choose_units(shown.units)
    reading, typed = _read()
    if reading is not None:
        try:
            _write_down(session_id, reading)
        except CannotScaleError as error:
            typed = replace(typed, wrong={error.pointer.lstrip("/"): str(error)})
        else:
            return redirect(f"{_address()}#stands", 303)  # type: ignore[return-value]
    return _page(shown, typed)


def _page(shown: DayShown, typed: Typed | None = None) -> Response:
    system = unit_choice.chosen() or UnitSystem.METRIC
    written = {
        "day": BrewDayOut().dump(shown.day),
        "session": SessionOut().dump(shown.day.session),
        "plan": None if shown.plan is None else PlanOut().dump(shown.plan),
        "kettle": SetupContentOut().dump(shown.setup)["vessels"]["kettle"],
    }

    def write(nonce: str) -> str:
        return kettle_log(
            written,
            system,
            send_to=_address(),
            once=lambda: secrets.token_hex(16),
            typed=typed,
            nonce=nonce,
        )

    return page(write, 200 if typed is None else 422, with_script=True)


def _address() -> str:
    """Give this page's own address, with the key that opened it."""
    return request.full_path.rstrip("?")


def _read() -> tuple[Reading | None, Typed]:
    """Read the form as the API reads a reading; None where something in it is refused."""
    stage = request.form.get(_STAGE, "")
    if stage not in FIELDS:
        nowhere = next(iter(FIELDS))
        return None, Typed(nowhere, {}, wrong={"": "Say at which stage it was read."})
    system = unit_choice.chosen() or UnitSystem.METRIC
    typed = read_form(request.form, stage, system)
    if typed.wrong:
        return None, typed
    try:
        return ReadingIn().load(typed.document), typed
    except ValidationError as error:
        return None, replace(typed, wrong=_sentences(error.messages))


def _sentences(messages: Any) -> dict[str, str]:
    return {
        "" if name == "_schema" else name: " ".join(str(one) for one in said)
        for name, said in dict(messages).items()
    }


def _write_down(session_id: UUID, reading: Reading) -> None:
    """Add a reading, once however often it is sent."""
    work = Work(database(), caller(), _retry())
    try:
        brew_days.add_reading(work, session_id, reading)
    except AlreadyAnsweredError:
        return


def _retry() -> Retry | None:
    once = request.headers.get(HEADER) or request.form.get(_ONCE)
    if not once:
        return None
    # What was typed is part of the key: a form that was put right is another reading.
    typed = sorted((name, value) for name, value in request.form.items() if name != _ONCE)
    digest = hashlib.sha256(repr((once, request.path, typed)).encode()).hexdigest()
    rule = request.url_rule.rule if request.url_rule is not None else request.path
    return Retry(digest, f"{request.method} {rule}", digest, lambda _: Sent(303, {}, b""))
