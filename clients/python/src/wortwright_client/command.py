"""The command ``wortwright-client``: bring the notes of past brews into the service."""

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from wortwright_client._version import __version__
from wortwright_client.client import Client
from wortwright_client.errors import (
    ForbiddenError,
    InvalidRequestError,
    NotFoundError,
    UnauthorizedError,
    WortwrightError,
)
from wortwright_client.notes import importing
from wortwright_client.notes.columns import COLUMNS, NotesError
from wortwright_client.notes.rows import Notes, Row, read_notes

ADDRESS, KEY = "WORTWRIGHT_ADDRESS", "WORTWRIGHT_KEY"
HERE = "http://127.0.0.1:8080"

IMPORT = f"""\
Bring past brews into the service, a row of a table (CSV) each. Each becomes a closed session, from
which the setup learns.

The first line names the columns. These four are needed:

{{needed}}

and these are read where they are there:

{{more}}

A unit stands in the cell ("6.2 kg") or, for the whole column, in its name ("grain (kg)"). A gravity
needs none. Grain may also be told malt by malt: "Pale ale malt 4.6 kg; Crystal 60 L 250 g".
Columns with other names are passed over, and the command says which.

Every row is checked first. If one is refused, nothing is stored: the command names its row, its
column and what would be accepted. Run it as often as you like: a brew that is there already is not
stored twice.

The key is taken from {KEY}, where no other user of this machine sees it."""

CODES = "exit code: 0 all is well; 1 something is refused; 2 the command was written wrongly"


class CommandError(Exception):
    """What keeps the command from its work, for a person."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command, and give its exit code."""
    asked = _parser().parse_args(arguments)
    try:
        return _bring_in(asked)
    except (CommandError, NotesError) as error:
        _complain(str(error))
    except (UnauthorizedError, ForbiddenError) as error:
        _complain(f"The service does not take this key: {error}. Look at {KEY}.")
    except NotFoundError:
        _complain(f"There is no setup {asked.setup} that this key may write to.")
    except InvalidRequestError as error:
        _complain(str(error))
    except WortwrightError as error:
        _complain(f"{error}. Run this again: what is stored is not stored twice.")
    return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="wortwright-client", description="A wortwright service from the command line."
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    described = IMPORT.format(needed=_listed(needed=True), more=_listed(needed=False))
    bring_in = commands.add_parser(
        "import",
        help="bring past brews into the service",
        description=described,
        epilog=CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    bring_in.add_argument("file", type=Path, metavar="FILE", help="the table, such as brews.csv")
    bring_in.add_argument("--setup", required=True, metavar="ID", help="the setup brewed on")
    bring_in.add_argument(
        "--service",
        default=os.environ.get(ADDRESS, HERE),
        metavar="ADDRESS",
        help=f"where the service is (default: what {ADDRESS} says, else {HERE})",
    )
    bring_in.add_argument(
        "--dry-run", action="store_true", help="check every row, and store nothing"
    )
    return parser


def _listed(*, needed: bool) -> str:
    rows = [(one, "".join(f' or "{name}"' for name in one.also)) for one in COLUMNS]
    return "\n".join(
        f'  "{one.name}"{also}, such as {one.example}' for one, also in rows if one.needed is needed
    )


def _bring_in(asked: argparse.Namespace) -> int:
    key = os.environ.get(KEY)
    if not key:
        raise CommandError(f"Put the key of the club or of the brewer into {KEY}.")
    notes = _read(asked.file, asked.setup)
    for name in notes.passed_over:
        print(f'Not read: the column "{name}".')
    try:
        club = Client(asked.service, key)
    except ValueError as error:
        raise CommandError(str(error)) from error
    with club:
        return _check_and_store(club, asked, notes)


def _read(file: Path, setup_id: str) -> Notes:
    try:
        # A spreadsheet writes a mark of three bytes before the first letter.
        text = file.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise CommandError(f"{file} cannot be read: {error.strerror}.") from error
    except UnicodeDecodeError as error:
        raise CommandError(f"{file} is not text in UTF-8; save it as CSV in UTF-8.") from error
    return read_notes(text.splitlines(keepends=True), setup_id)


def _check_and_store(club: Client, asked: argparse.Namespace, notes: Notes) -> int:
    progress = _Progress(len(notes.rows))
    checked = importing.check(club, asked.setup, notes.rows, progress)
    if checked.refused:
        print("\nRefused:")
        for one in checked.refused:
            print(f"  {one}")
        _complain("Nothing is stored. Put these right, and run it again.")
        return 1
    if asked.dry_run:
        print(
            f"\nNothing is refused. Without --dry-run {_brews(len(checked.new))} would be stored."
        )
        return 0
    progress = _Progress(len(checked.new))
    for _ in importing.store(club, checked.new, progress):
        pass
    learnt = club.get_present_calibration(asked.setup).session_count
    print(f"\nStored {_brews(len(checked.new))}. The setup has learnt from {_brews(learnt)} now.")
    return 0


class _Progress:
    """Says of each row what became of it, and how many there are."""

    def __init__(self, count: int) -> None:
        self._count, self._done = count, 0

    def __call__(self, row: Row, became: str) -> None:
        self._done += 1
        day = str(row.document.get("brewed_at", "no date"))[:10]
        print(f"{self._done} of {self._count}: row {row.number}, {day}: {became}", flush=True)


def _brews(count: int) -> str:
    return "1 brew" if count == 1 else f"{count} brews"


def _complain(said: str) -> None:
    print(said, file=sys.stderr)
