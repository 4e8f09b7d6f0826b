"""What a column of brewing notes may be called, and where in a session it belongs."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass


class NotesError(ValueError):
    """The table cannot be read at all; the message says what to do."""


@dataclass(frozen=True)
class Column:
    """One kind of number in the notes.

    ``place`` is where a session has it: of a reading its stage and its name.
    """

    name: str
    place: tuple[str, ...]
    example: str
    needed: bool = False
    also: tuple[str, ...] = ()


COLUMNS: Sequence[Column] = (
    Column("date", ("brewed_at",), "2026-03-07", needed=True, also=("brewed", "day")),
    Column("grain", ("grist",), "6.2 kg", needed=True, also=("grain mass", "grist", "malt")),
    Column(
        "gravity",
        ("fermenter", "gravity"),
        "1.052",
        needed=True,
        also=("original gravity", "fermenter gravity"),
    ),
    Column(
        "fermenter volume", ("fermenter", "volume"), "21 L", needed=True, also=("volume", "batch")
    ),
    Column("strike water", ("water", "strike"), "28 L"),
    Column("strike water temperature", ("strike_water", "temperature"), "72 degC"),
    Column("mash in temperature", ("mash_in", "temperature"), "66 degC"),
    Column("mash end temperature", ("mash_end", "temperature"), "64 degC"),
    Column("sparge water", ("water", "sparge"), "10 L"),
    Column("first wort gravity", ("first_wort", "gravity"), "1.070"),
    Column("planned pre boil volume", ("planned_preboil_volume",), "26 L"),
    Column("pre boil volume", ("pre_boil", "volume"), "26.5 L"),
    Column("pre boil temperature", ("pre_boil", "volume_temperature"), "78 degC"),
    Column("pre boil gravity", ("pre_boil", "gravity"), "1.042"),
    Column("boil time", ("boil_time",), "60 min"),
    Column("post boil volume", ("post_boil", "volume"), "23 L"),
    Column("post boil temperature", ("post_boil", "volume_temperature"), "95 degC"),
    Column("post boil gravity", ("post_boil", "gravity"), "1.050"),
    Column("yeast", ("yeast", "name"), "English ale yeast"),
    Column("stated attenuation", ("yeast", "apparent_attenuation"), "75 %"),
    Column("final gravity", ("final", "gravity"), "1.012"),
    Column("packaged volume", ("packaged", "volume"), "19.5 L"),
)
# In the order of the day, as the service wants to see them.
STAGES = (
    "strike_water",
    "mash_in",
    "mash_end",
    "first_wort",
    "pre_boil",
    "post_boil",
    "fermenter",
    "final",
    "packaged",
)

_HEADING = re.compile(r"(?P<name>[^(\[]*)(?:[(\[](?P<unit>[^)\]]*)[)\]])?\s*")


@dataclass(frozen=True)
class Heading:
    """A column of one file: what it is, as it is written there, and the unit written with it."""

    column: Column
    written: str
    unit: str


@dataclass(frozen=True)
class Headings:
    """The columns of one file by their number, and those that mean nothing here."""

    read: Mapping[int, Heading]
    passed_over: tuple[str, ...]


def read_headings(cells: Sequence[str]) -> Headings:
    """Read the first line of a file.

    Raises
    ------
    NotesError
        If a column is missing that every brew needs, or one is there twice.
    """
    read: dict[int, Heading] = {}
    passed_over = []
    for number, cell in enumerate(cells):
        heading = _heading(cell)
        if heading is not None:
            read[number] = heading
        elif cell.strip():
            passed_over.append(cell.strip())
    _check({one.column.name: one.written for one in read.values()}, cells, len(read))
    return Headings(read, tuple(passed_over))


def _heading(cell: str) -> Heading | None:
    found = _HEADING.fullmatch(cell.strip())
    if found is None:
        return None
    name = " ".join(re.split(r"[\s_-]+", found["name"].strip().lower()))
    column = next((one for one in COLUMNS if name in (one.name, *one.also)), None)
    if column is None:
        return None
    return Heading(column, cell.strip(), (found["unit"] or "").strip())


def _check(written: Mapping[str, str], cells: Sequence[str], count: int) -> None:
    missing = [one for one in COLUMNS if one.needed and one.name not in written]
    if missing:
        wanted = " and ".join(
            " or ".join(f'"{name}"' for name in (one.name, *one.also)) for one in missing
        )
        found = ", ".join(f'"{cell.strip()}"' for cell in cells) or "nothing"
        raise NotesError(f"The first line must also name a column {wanted}. It has: {found}.")
    if len(written) < count:
        raise NotesError("The first line names a column twice; leave one of the two out.")
