"""The right of a brewer to take everything along: out as one document, in elsewhere."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Generic, TypeVar
from uuid import UUID

from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import Calibration
from wortwright.records.brewer import Brewer
from wortwright.records.recipe import Recipe
from wortwright.records.session import Session
from wortwright.records.setup import Setup
from wortwright.store import brewers, calibrations, recipes, scalings, sessions, setups
from wortwright.store.calibrations import Numbered
from wortwright.store.database import Database, Tx
from wortwright.store.documents import from_document, to_document
from wortwright.store.scalings import ComputedFrom
from wortwright.store.stored import Page, RowFacts, Scope, Stored
from wortwright.usecases.callers import Caller
from wortwright.usecases.learning import refit
from wortwright.usecases.rights import may_run_club, may_write
from wortwright.usecases.scalings import Scaled
from wortwright.usecases.work import storing

FORMAT_VERSION = 1
_PAGE = 200

T = TypeVar("T")
S = TypeVar("S", bound=Stored[Any])


@dataclass(frozen=True, slots=True)
class Moved(Generic[T]):
    """A thing with the facts of its row."""

    row: RowFacts
    value: T


@dataclass(frozen=True, slots=True)
class MovedSession:
    """A session, and where it belongs."""

    row: RowFacts
    setup_id: UUID
    scaling_id: UUID | None
    value: Session


@dataclass(frozen=True, slots=True)
class MovedCalibration:
    """A calibration, and where it belongs."""

    row: RowFacts
    numbered: Numbered
    value: Calibration


@dataclass(frozen=True, slots=True)
class MovedScaling:
    """A scaling, and what it was computed from."""

    row: RowFacts
    computed_from: ComputedFrom
    value: Scaled


@dataclass(frozen=True, slots=True)
class BrewerExport:
    """Everything of one brewer, oldest first. Keys stay behind: they open another door."""

    format_version: int
    brewer: Moved[Brewer]
    setups: tuple[Moved[Setup], ...]
    calibrations: tuple[MovedCalibration, ...]
    recipes: tuple[Moved[Recipe], ...]
    scalings: tuple[MovedScaling, ...]
    sessions: tuple[MovedSession, ...]


class CannotImportError(ValueError):
    """A part of an export that this service could not have written; ``pointer`` tells which."""

    def __init__(self, pointer: str) -> None:
        super().__init__("This calibration is not one of this setup's.")
        self.pointer = pointer


def export_brewer(database: Database, caller: Caller, brewer_id: UUID) -> BrewerExport:
    """Give everything of a brewer."""
    allowed = may_write(caller, "export a brewer")
    scope = Scope(allowed.club_id, brewer_id)
    with database.read() as tx:
        brewer = brewers.get(tx, allowed, brewer_id)
        own_setups = _all(lambda after: setups.page(tx, scope, after, _PAGE))
        return BrewerExport(
            FORMAT_VERSION,
            Moved(_facts(brewer), brewer.value),
            tuple(Moved(_facts(one), one.value) for one in own_setups),
            tuple(
                MovedCalibration(_facts(one), _numbered(one), one.value)
                for setup in own_setups
                for one in _calibrations(tx, scope, setup.id)
            ),
            tuple(
                Moved(_facts(one), one.value)
                for one in _all(lambda after: recipes.page(tx, scope, after, _PAGE))
                if one.brewer_id == brewer_id
            ),
            tuple(
                MovedScaling(_facts(one), one.computed_from, from_document(one.value, Scaled))
                for one in _all(lambda after: scalings.page(tx, scope, after, _PAGE))
            ),
            tuple(
                MovedSession(_facts(one), one.setup_id, one.scaling_id, one.value)
                for one in _all(lambda after: sessions.page(tx, scope, after, _PAGE))
            ),
        )


@storing
def import_brewer(tx: Tx, caller: Caller, export: BrewerExport) -> Stored[Brewer]:
    """Take in everything of a brewer under the ids it had, of which none may be taken."""
    club_id = may_run_club(caller, "import a brewer").club_id
    brewer_id = export.brewer.row.id
    scope = Scope(club_id, brewer_id)
    made = brewers.add(tx, club_id, export.brewer.value, export.brewer.row)
    for setup in export.setups:
        setups.add(tx, club_id, brewer_id, setup.value, setup.row)
    for recipe in export.recipes:
        recipes.add(tx, club_id, brewer_id, recipe.value, recipe.row)
    for scaling in export.scalings:
        document = to_document(scaling.value)
        scalings.add(tx, club_id, brewer_id, scaling.computed_from, document, scaling.row)
    for session in export.sessions:
        setups.get(tx, scope, session.setup_id)
        sessions.add(tx, scope, session.setup_id, session.scaling_id, session.value, session.row)
    _import_calibrations(tx, scope, export)
    return made


def _import_calibrations(tx: Tx, scope: Scope, export: BrewerExport) -> None:
    """Keep the calibrations as they were; a setup that comes without one gets its own."""
    for index, known in enumerate(export.calibrations):
        setup = setups.get(tx, scope, known.numbered.setup_id)
        if not _has_form_of(known.value, fit_calibration(setup.value, ())):
            raise CannotImportError(f"/calibrations/{index}/value")
        calibrations.put(tx, scope, known.numbered, known.value, known.row)
    calibrated = {known.numbered.setup_id for known in export.calibrations}
    for moved in export.setups:
        if moved.row.id not in calibrated:
            refit(tx, setups.get(tx, scope, moved.row.id))


def _has_form_of(known: Calibration, fresh: Calibration) -> bool:
    """Tell whether a calibration can be forecast with like one made here."""
    ours, theirs = fresh.efficiency, known.efficiency
    size = len(ours.names)
    return (
        (theirs.method, theirs.names) == (ours.method, ours.names)
        and len(theirs.mean) == size
        and [len(row) for row in theirs.covariance] == [size] * size
        and known.constants.keys() == fresh.constants.keys()
    )


def _all(fetch: Callable[[UUID | None], Page[S]]) -> list[S]:
    """Follow a list to its end and give it oldest first."""
    found: list[S] = []
    more = True
    while more:
        page = fetch(found[-1].id if found else None)
        found += page.items
        more = page.has_more
    return found[::-1]


def _calibrations(tx: Tx, scope: Scope, setup_id: UUID) -> list[calibrations.StoredCalibration]:
    return _all(lambda after: calibrations.page(tx, scope, setup_id, after, _PAGE))


def _facts(stored: Stored[Any]) -> RowFacts:
    return RowFacts(stored.id, stored.created_at, stored.updated_at)


def _numbered(known: calibrations.StoredCalibration) -> Numbered:
    return Numbered(known.setup_id, known.setup_version, known.number, known.session_ids)
