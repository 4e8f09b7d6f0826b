"""A PostgreSQL database full of clubs: one club brews through the service, COPY does the rest.

Every setup has twenty closed sessions, the calibration it began with and the one they gave; ids
and owners differ, the brews are the same, so that every stored calibration is a true one. Fifty
brewers make a club, each with one setup.
"""

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any
from uuid import UUID

from sqlalchemy import select
from uuid6 import uuid7

from benchmarks.house import BITTER
from wortwright.api import examples
from wortwright.demo.walk import documents
from wortwright.store.database import Database
from wortwright.store.models import (
    Base,
    BrewerRow,
    CalibrationRow,
    ClubRow,
    KeyRow,
    RecipeRow,
    SessionRow,
    SetupRow,
)
from wortwright.usecases.callers import KeyKind, mint_key

SESSIONS_PER_SETUP = 20
SETUPS_PER_CLUB = 50
_CLUBS_AT_ONCE = 20
_TABLES: tuple[type[Base], ...] = (
    ClubRow,
    KeyRow,
    RecipeRow,
    BrewerRow,
    SetupRow,
    SessionRow,
    CalibrationRow,
)

Row = dict[str, Any]


@dataclass(frozen=True)
class Place:
    """Where a request may go: a club's key, and things of one of its brewers."""

    key: str = field(repr=False)
    setup_id: str
    session_id: str
    recipe_id: str


@dataclass
class Batch:
    """Rows of some clubs, table by table."""

    rows: dict[type[Base], list[Row]] = field(default_factory=lambda: {t: [] for t in _TABLES})

    def add(self, table: type[Base], row: Row, **changes: Any) -> Any:
        """Add a copy of a row with an id of its own, and give that."""
        made = {"id": UUID(int=uuid7().int), **changes}
        self.rows[table].append(row | made)
        return made["id"]


class Template:
    """The rows of a club with one brewer, who brewed twenty times."""

    def __init__(self, database: Database, club_id: UUID) -> None:
        with database.read() as tx:
            self._rows = {
                table: [_written(row._mapping) for row in tx.execute(_of_club(table, club_id))]
                for table in _TABLES
            }
        assert len(self._rows[SessionRow]) == SESSIONS_PER_SETUP
        numbered = sorted(self._rows[CalibrationRow], key=lambda row: row["number"])
        self._rows[CalibrationRow] = [numbered[0], numbered[-1]]

    def of(self, table: type[Base]) -> Row:
        """The one row of a table."""
        return self._rows[table][0]

    def club(self, batch: Batch, setups: int, pepper: str) -> Iterator[Place]:
        """Put a further club into a batch."""
        club_id = batch.add(ClubRow, self.of(ClubRow))
        minted = mint_key(KeyKind.CLUB, pepper)
        batch.add(
            KeyRow,
            self.of(KeyRow),
            id=minted.key_id,
            club_id=club_id,
            secret_hash=minted.secret_hash,
        )
        recipe_id = batch.add(RecipeRow, self.of(RecipeRow), club_id=club_id)
        nowhere = Place(minted.text, "", "", str(recipe_id))
        for _ in range(setups):
            setup_id, session_id = self._setup(batch, club_id)
            yield replace(nowhere, setup_id=str(setup_id), session_id=str(session_id))

    def _setup(self, batch: Batch, club_id: UUID) -> tuple[UUID, UUID]:
        own: Row = {"club_id": club_id}
        own["brewer_id"] = batch.add(BrewerRow, self.of(BrewerRow), club_id=club_id)
        own["setup_id"] = batch.add(SetupRow, self.of(SetupRow), **own)
        ids = {str(row["id"]): batch.add(SessionRow, row, **own) for row in self._rows[SessionRow]}
        for row in self._rows[CalibrationRow]:
            renamed = {name: row[name] for name in ("session_ids", "document")}
            for one, other in ids.items():
                renamed = {name: said.replace(one, str(other)) for name, said in renamed.items()}
            batch.add(CalibrationRow, row, **own, **renamed)
        return own["setup_id"], ids[max(ids)]


def _written(row: Mapping[str, Any]) -> Row:
    """A row with its documents as text, once for all its copies."""
    return {k: json.dumps(v) if isinstance(v, (dict, list)) else v for k, v in row.items()}


def _of_club(table: type[Base], club_id: UUID) -> Any:
    columns = table.__table__.columns
    return select(*columns).where((columns.id if table is ClubRow else columns.club_id) == club_id)


def brew_the_template(post: Callable[[str, Any], Any]) -> None:
    """One brewer's twenty brews, through the service."""
    known = documents()
    brewer_id = post("/v1/brewers", known["brewer"])["id"]
    setup_id = post("/v1/setups", {"brewer_id": brewer_id, **known["setup"]})["id"]
    post("/v1/recipes", BITTER)
    for day in range(SESSIONS_PER_SETUP):
        session = {**examples.SESSION, "setup_id": setup_id, "state": "closed"}
        post("/v1/sessions", session | {"brewed_at": f"2026-03-{day + 1:02d}T10:00:00Z"})


def fill(
    database: Database,
    template: Template,
    setups: int,
    pepper: str,
    told: Callable[[int], None] = lambda _: None,
) -> list[Place]:
    """Fill a database with so many setups, and give the places of all of them."""
    places: list[Place] = []
    while len(places) < setups:
        batch = Batch()
        for _ in range(_CLUBS_AT_ONCE):
            wanted = min(SETUPS_PER_CLUB, setups - len(places))
            places += template.club(batch, wanted, pepper)
            if len(places) == setups:
                break
        _copy(database, batch)
        told(len(places))
    with database.engine.connect() as connection:
        connection.execution_options(isolation_level="AUTOCOMMIT").exec_driver_sql("VACUUM ANALYZE")
    return places


def _copy(database: Database, batch: Batch) -> None:
    connection = database.engine.raw_connection()
    with connection.cursor() as cursor:
        for table, rows in batch.rows.items():
            names = [column.name for column in table.__table__.columns]
            listed = ", ".join(f'"{name}"' for name in names)
            statement = f'COPY "{table.__tablename__}" ({listed}) FROM STDIN'
            with cursor.copy(statement) as copying:
                for row in rows:
                    copying.write_row([row[name] for name in names])
    connection.commit()
    connection.close()
