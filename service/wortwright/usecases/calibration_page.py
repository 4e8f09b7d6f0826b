"""What a person sees of a calibration: its report, every session as a point, the next brew."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wortwright.calibration.report import SessionPoint, points_beside
from wortwright.records.brewer import UnitSystem
from wortwright.records.session import SessionState
from wortwright.records.setup import Setup
from wortwright.store import calibrations, scalings, sessions, setups
from wortwright.store.database import Database, Tx
from wortwright.store.documents import from_document
from wortwright.store.stored import NotFoundError, Scope, Stored
from wortwright.usecases.brewers import units_of
from wortwright.usecases.calibrations import Reported, reported
from wortwright.usecases.callers import Caller
from wortwright.usecases.learning import closed_sessions, club_of, with_plain_readings
from wortwright.usecases.rights import may_open
from wortwright.usecases.scalings import Scaled

MOST_SET_ASIDE = 100


@dataclass(frozen=True, slots=True)
class SetAside:
    """A session that was set aside, as a point beside the curve if it tells an efficiency."""

    point: SessionPoint | None
    brewed_at: datetime
    because: str | None


@dataclass(frozen=True, slots=True)
class Shown:
    """A calibration as it is shown; ``brewed_at`` is by the id of the session.

    So is why sessions are ``trusted`` although they look wrong.
    """

    setup: Setup
    reported: Reported
    brewed_at: dict[str, datetime]
    trusted: dict[str, str]
    set_aside: tuple[SetAside, ...]
    next_brew: Scaled | None
    units: UnitSystem | None


def show_calibration(
    database: Database, caller: Caller, setup_id: UUID, scaling_id: UUID | None
) -> Shown:
    """Give what is known of a setup, with a scaling for it as the next brew if one is named."""
    with database.read() as tx:
        setup = setups.get(tx, may_open(caller, "setup", setup_id), setup_id)
        owner = Scope(setup.club_id, setup.brewer_id)
        known = calibrations.latest(tx, owner, setup_id)
        closed, club = closed_sessions(tx, setup), club_of(tx, setup)
        aside = sessions.page(
            tx, owner, None, MOST_SET_ASIDE, setup_id=setup_id, state=SessionState.SET_ASIDE
        )
        next_brew = None if scaling_id is None else _next_brew(tx, setup, scaling_id)
        units = units_of(tx, caller, setup.brewer_id)
    plain = [(str(one.id), with_plain_readings(one.value, setup.value)) for one in aside.items]
    points = {point.session_id: point for point in points_beside(setup.value, plain, known.value)}
    return Shown(
        setup=setup.value,
        reported=reported(setup.value, known, closed, club),
        brewed_at={str(session_id): session.brewed_at for session_id, session in closed},
        trusted={
            str(session_id): session.trusted_because
            for session_id, session in closed
            if session.trusted_because is not None
        },
        set_aside=tuple(
            SetAside(points.get(str(one.id)), one.value.brewed_at, one.value.set_aside_because)
            for one in aside.items
        ),
        next_brew=next_brew,
        units=units,
    )


def _next_brew(tx: Tx, setup: Stored[Setup], scaling_id: UUID) -> Scaled:
    found = scalings.get(tx, Scope(setup.club_id, setup.brewer_id), scaling_id)
    if found.computed_from.setup_id != setup.id:
        raise NotFoundError("scaling", scaling_id)
    return from_document(found.value, Scaled)
