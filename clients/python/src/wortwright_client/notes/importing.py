"""Bringing notes into the service: every row is checked first, then each is stored once."""

import hashlib
import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from wortwright_client.client import Client
from wortwright_client.errors import InvalidRequestError
from wortwright_client.errors import Refusal as Place
from wortwright_client.models.sessions import Session, SessionContent
from wortwright_client.notes.rows import Refused, Row

# Answers are compared in one system of units, whatever the brewer's.
UNITS: Final = "metric"

Step = Callable[[Row, str], None]
"""Told of each row what became of it."""


@dataclass(frozen=True)
class Checked:
    """The rows to store, those that are there already, and the cells that are refused."""

    new: tuple[Row, ...]
    known: tuple[Row, ...]
    refused: tuple[Refused, ...]


def check(club: Client, setup_id: str, rows: Sequence[Row], told: Step) -> Checked:
    """Let the service check every row, and store nothing.

    Parameters
    ----------
    club : Client
        Opened with a key of the club or of the brewer.
    setup_id : str
        What was brewed on.
    rows : sequence of Row
        The brews.
    told : callable
        Told of each row.
    """
    stored: list[SessionContent] = list(club.list_sessions(setup_id=setup_id, units=UNITS))
    new: list[Row] = []
    known: list[Row] = []
    refused: list[Refused] = []
    for row in rows:
        brew, places = _checked_by_service(club, row)
        wrong = [*row.refused, *(one for one in places if not _is_among(one, row.refused))]
        if brew is None or wrong:
            refused += sorted(wrong, key=row.place_of)
            told(row, "refused")
        elif any(_is_same(brew, other) for other in stored):
            known.append(row)
            told(row, "already there")
        else:
            new.append(row)
            # A row that is in the file twice is one brew.
            stored.append(brew)
            told(row, "accepted")
    return Checked(tuple(new), tuple(known), tuple(refused))


def store(club: Client, rows: Sequence[Row], told: Step) -> Iterator[Session]:
    """Store the rows one after the other, each whole or not at all."""
    for row in rows:
        yield club.create_session(row.document, idempotency_key=_key_of(row))
        told(row, "stored")


def _checked_by_service(club: Client, row: Row) -> tuple[SessionContent | None, Sequence[Refused]]:
    try:
        return club.create_session(row.document, store=False, units=UNITS), ()
    except InvalidRequestError as error:
        places = error.errors or (Place(error.detail),)
        return None, [Refused(row.number, row.column_of(one.pointer), _why(one)) for one in places]


def _is_among(one: Refused, others: Sequence[Refused]) -> bool:
    return any(one.column == other.column for other in others)


def _why(place: Place) -> str:
    """Say why, with what would be accepted, but not where: a row has no pointers."""
    return str(Place(place.detail, accepted=place.accepted))


def _key_of(row: Row) -> str:
    """Make the key that lets the row be sent again: the same row has the same key."""
    written = json.dumps(row.document, sort_keys=True)
    return f"notes-{hashlib.sha256(written.encode()).hexdigest()}"


def _is_same(one: SessionContent, other: SessionContent) -> bool:
    """Tell whether a brew is there: of that time and grist, with all that was read of it."""
    told = (one.brewed_at, one.grist) == (other.brewed_at, other.grist)
    return told and all(reading in other.readings for reading in one.readings)
