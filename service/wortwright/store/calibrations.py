"""Calibrations: one version after another of what is known of a setup; each written once."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from sqlalchemy import Select, bindparam, func, select

from wortwright.calibration.posterior import MODEL_VERSION, Calibration, OwnWord
from wortwright.records.setup import LauterMethod
from wortwright.store import rows
from wortwright.store.database import Tx
from wortwright.store.documents import from_document, to_document
from wortwright.store.models import CalibrationRow, SetupRow
from wortwright.store.stored import NotFoundError, Page, RowFacts, Scope, Stored


@dataclass(frozen=True, slots=True)
class Numbered:
    """Where a calibration stands: its setup as it was then, its number, its sessions."""

    setup_id: UUID
    setup_version: int
    number: int
    session_ids: tuple[UUID, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredCalibration(Stored[Calibration]):
    """A calibration with its number in the setup's line and the sessions it rests on."""

    setup_id: UUID
    setup_version: int
    number: int
    session_ids: tuple[UUID, ...]


def add(
    tx: Tx,
    scope: Scope,
    setup_id: UUID,
    setup_version: int,
    session_ids: tuple[UUID, ...],
    calibration: Calibration,
) -> StoredCalibration:
    """Store the next calibration of a setup, whose row the caller has locked."""
    last = tx.scalar(
        select(func.max(CalibrationRow.number)).where(CalibrationRow.setup_id == setup_id)
    )
    numbered = Numbered(setup_id, setup_version, 0 if last is None else last + 1, session_ids)
    return put(tx, scope, numbered, calibration)


def put(
    tx: Tx,
    scope: Scope,
    numbered: Numbered,
    calibration: Calibration,
    facts: RowFacts | None = None,
) -> StoredCalibration:
    """Store a calibration under its number."""
    row = CalibrationRow(
        club_id=scope.club_id,
        brewer_id=scope.brewer_id,
        setup_id=numbered.setup_id,
        setup_version=numbered.setup_version,
        number=numbered.number,
        session_ids=[str(session_id) for session_id in numbered.session_ids],
        document=to_document(calibration),
    )
    rows.add(tx, row, facts)
    return _read(row)


def latest(tx: Tx, scope: Scope, setup_id: UUID) -> StoredCalibration:
    """Give the present calibration of a setup."""
    row = rows.fetch(tx, _LATEST[scope.brewer_id is not None], scope, setup_id=setup_id)
    if row is None:
        raise NotFoundError("setup", setup_id)
    return _read(row)


def model_version(tx: Tx, setup_id: UUID) -> int | None:
    """Tell which version of the model the present calibration of a setup was fitted with."""
    found = select(CalibrationRow.document).where(CalibrationRow.setup_id == setup_id)
    document = tx.scalar(found.order_by(CalibrationRow.number.desc()).limit(1))
    return None if document is None else document.get("model_version")


def words_in_club(
    tx: Tx, club_id: UUID, method: LauterMethod, besides: UUID
) -> tuple[OwnWord, ...]:
    """Give what the setups of a club that share and have this method say of their constants."""
    newest = (
        select(CalibrationRow.setup_id, func.max(CalibrationRow.number).label("number"))
        .where(CalibrationRow.club_id == club_id, CalibrationRow.setup_id != besides)
        .group_by(CalibrationRow.setup_id)
        .subquery()
    )
    found = (
        select(CalibrationRow.document)
        .join(
            newest,
            (CalibrationRow.setup_id == newest.c.setup_id)
            & (CalibrationRow.number == newest.c.number),
        )
        .join(SetupRow, SetupRow.id == CalibrationRow.setup_id)
        .where(
            SetupRow.document["shares_with_club"].as_boolean(),
            SetupRow.document["lauter_method"].as_string() == method.value,
        )
        .order_by(CalibrationRow.setup_id)
    )
    known = (from_document(document, Calibration) for document in tx.scalars(found))
    return tuple(
        one.own_word
        for one in known
        if one.own_word is not None and one.session_count and one.model_version == MODEL_VERSION
    )


def get(tx: Tx, scope: Scope, setup_id: UUID, number: int) -> StoredCalibration:
    """Give one calibration of a setup, present or past."""
    found = rows.in_scope(CalibrationRow, scope).where(
        CalibrationRow.setup_id == setup_id, CalibrationRow.number == number
    )
    row = tx.scalars(found).one_or_none()
    if row is None:
        raise NotFoundError("calibration", number)
    return _read(row)


def numbers_with(tx: Tx, scope: Scope, setup_id: UUID, session_id: UUID) -> list[tuple[int, bool]]:
    """Tell of every calibration of a setup, oldest first, whether it rests on a session."""
    found = rows.in_scope(CalibrationRow, scope).where(CalibrationRow.setup_id == setup_id)
    told = found.with_only_columns(CalibrationRow.number, CalibrationRow.session_ids)
    wanted = str(session_id)
    return [
        (number, wanted in session_ids)
        for number, session_ids in tx.execute(told.order_by(CalibrationRow.number))
    ]


def page(
    tx: Tx, scope: Scope, setup_id: UUID, after: UUID | None, limit: int
) -> Page[StoredCalibration]:
    """Give the next calibrations of a setup, newest first."""
    found = rows.in_scope(CalibrationRow, scope).where(CalibrationRow.setup_id == setup_id)
    return rows.page(tx, CalibrationRow, found, _read, after=after, limit=limit)


def _latest(of_brewer: bool) -> Select[Any]:
    found, columns = rows.to_read(CalibrationRow, of_brewer)
    found = found.where(columns.setup_id == bindparam("setup_id"))
    return found.order_by(columns.number.desc()).limit(1)


_LATEST = {of_brewer: _latest(of_brewer) for of_brewer in (False, True)}


def _read(row: CalibrationRow) -> StoredCalibration:
    return StoredCalibration(
        **rows.facts(row),
        value=from_document(row.document, Calibration),
        setup_id=row.setup_id,
        setup_version=row.setup_version,
        number=row.number,
        session_ids=tuple(UUID(text) for text in row.session_ids),
    )
