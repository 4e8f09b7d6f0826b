"""A row of brewing notes as a session, with the way back from a session to its columns."""

import csv
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from typing import Any, cast

from wortwright_client.documents.sessions import NewSessionDocument
from wortwright_client.notes.columns import STAGES, Heading, Headings, NotesError, read_headings

# Who wrote down a day only brewed at some time of it; the middle is never a day off.
NOON = time(12, tzinfo=UTC)
GRAIN = {"name": "Grain", "kind": "base_malt"}
"""What a mass of grain without a name is: the yield of a base malt is assumed."""

_NUMBER = re.compile(r"-?[0-9][0-9.,]*(?:[eE][+-]?[0-9]+)?")
_AMOUNT = re.compile(r"(?P<number>-?[0-9][0-9.,]*)\s*(?P<unit>[^\s0-9.,].*)")
_MALT = re.compile(r"(?:(?P<name>.+?)\s+)?(?P<amount>-?[0-9][0-9.,]*\s*[^\s0-9.,]*)")


@dataclass(frozen=True)
class Refused:
    """A cell that is refused: its row in the file, its column, and why."""

    row: int
    column: str
    why: str

    def __str__(self) -> str:
        return f"row {self.row}, {self.column}: {self.why}"


@dataclass(frozen=True)
class Row:
    """One brew. ``columns`` tells for each place in the document which column it came from."""

    number: int
    document: NewSessionDocument
    columns: Mapping[str, str]
    refused: tuple[Refused, ...]

    def column_of(self, pointer: str | None) -> str:
        """Name the column behind a place that the service refuses."""
        around = (pointer or "").split("/")
        while around:
            if "/".join(around) in self.columns:
                return self.columns["/".join(around)]
            around.pop()
        return "the whole row"

    def place_of(self, refused: Refused) -> int:
        """Tell which column of the file it is."""
        names = [*self.columns.values(), refused.column]
        return names.index(refused.column)


@dataclass(frozen=True)
class Notes:
    """The rows of a file, and the columns in it that nothing is read from."""

    rows: tuple[Row, ...]
    passed_over: tuple[str, ...]


def read_notes(lines: Iterable[str], setup_id: str) -> Notes:
    """Read a table: a first line with the names of the columns, then a row a brew.

    Parameters
    ----------
    lines : iterable of str
        The lines of the file. Columns are parted by comma, semicolon or tab.
    setup_id : str
        What was brewed on.

    Raises
    ------
    NotesError
        If the first line is not one of names, or no row follows.
    """
    text = list(lines)
    parted_by = max(",;\t", key=(text[0] if text else "").count)
    reader = csv.reader(text, delimiter=parted_by)
    headings = read_headings(next(reader, []))
    rows = tuple(
        _read_row(reader.line_num, cells, headings, setup_id)
        for cells in reader
        if any(cell.strip() for cell in cells)
    )
    if not rows:
        raise NotesError("There is no brew below the first line.")
    return Notes(rows, headings.passed_over)


@dataclass
class _Draft:
    """A session as it is put together from one row."""

    number: int
    document: dict[str, Any]
    readings: dict[str, dict[str, Any]] = field(default_factory=dict)
    columns: dict[str, str] = field(default_factory=dict)
    refused: list[Refused] = field(default_factory=list)

    def refuse(self, heading: Heading, why: str) -> None:
        self.refused.append(Refused(self.number, heading.written, why))


def _read_row(number: int, cells: list[str], headings: Headings, setup_id: str) -> Row:
    draft = _Draft(number, {"setup_id": setup_id, "state": "closed"})
    for place, heading in headings.read.items():
        cell = cells[place].strip() if place < len(cells) else ""
        draft.columns["/".join(("", *heading.column.place))] = heading.written
        if cell:
            _put(draft, heading, cell)
        elif heading.column.needed:
            draft.refuse(heading, f"it is empty; write for example {heading.column.example}.")
    stages = [stage for stage in STAGES if stage in draft.readings]
    draft.document["readings"] = [{"stage": stage, **draft.readings[stage]} for stage in stages]
    columns = {_pointer(key, stages): column for key, column in draft.columns.items()}
    document = cast(NewSessionDocument, draft.document)
    return Row(number, document, columns, tuple(draft.refused))


def _put(draft: _Draft, heading: Heading, cell: str) -> None:
    place = heading.column.place
    if place == ("brewed_at",):
        _put_date(draft, heading, cell)
    elif place == ("grist",):
        draft.document["grist"] = list(_malts(cell, heading.unit))
    elif len(place) == 1:
        draft.document[place[0]] = _amount(cell, heading.unit)
    else:
        parts = draft.readings if place[0] in STAGES else draft.document
        text = cell if place[1] == "name" else _amount(cell, heading.unit)
        parts.setdefault(place[0], {})[place[1]] = text


def _pointer(key: str, stages: list[str]) -> str:
    first, *rest = key.removeprefix("/").split("/")
    if first not in stages:
        return key
    return "/".join(("/readings", str(stages.index(first)), *rest))


def _put_date(draft: _Draft, heading: Heading, cell: str) -> None:
    try:
        brewed = datetime.combine(date.fromisoformat(cell), NOON)
    except ValueError:
        why = f"{cell!r} is no day that can be read; write year, month, day: 2026-03-07."
        draft.refuse(heading, why)
    else:
        draft.document["brewed_at"] = brewed.isoformat()


def _malts(cell: str, unit: str) -> Iterator[dict[str, Any]]:
    """Read ``6.2 kg``, or malt by malt ``Pale ale malt 4.6 kg; Crystal 60 L 250 g``."""
    for part in (part.strip() for part in cell.split(";")):
        found = _MALT.fullmatch(part)
        if found is None or not found["name"]:
            yield {**GRAIN, "mass": _amount(part, unit)}
        else:
            yield {"name": found["name"].rstrip(":,"), "mass": _amount(found["amount"], unit)}


def _amount(cell: str, unit: str) -> str:
    """Write an amount as the service reads it: with one space, and the unit of the column."""
    if unit and _NUMBER.fullmatch(cell):
        return f"{cell} {unit}"
    found = _AMOUNT.fullmatch(cell)
    return f"{found['number']} {found['unit']}" if found else cell
