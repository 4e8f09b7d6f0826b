"""The command line: serve the API, make keys, migrate, write the contract, show the demo."""

import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import TypeVar

import click

from wortwright import __version__
from wortwright.api.app import create_app
from wortwright.api.contract import openapi_yaml
from wortwright.demo.walk import walk
from wortwright.pages import guide as guide_pages
from wortwright.records.brewer import Club
from wortwright.server import CannotListenError
from wortwright.server import serve as serve_app
from wortwright.settings import Settings, SettingsError
from wortwright.store.backup import back_up, rehearse
from wortwright.store.backup import restore as restore_backup
from wortwright.store.copying import BackupError
from wortwright.store.database import Database, DatabaseUnavailableError
from wortwright.usecases.clubs import create_club, create_club_key, list_all_clubs
from wortwright.usecases.learning import refit_outdated

T = TypeVar("T")

HOST_HELP = "Address to listen on; anything but 127.0.0.1 belongs behind a proxy with TLS."
PORT = click.IntRange(1, 65535)
MOST_LETTERS = 200

ABOUT = """\
Refit a beer recipe written for somebody else's system to your own.

To see what it does: wortwright demo. To run it: make a key with wortwright keys "Our club", then
wortwright serve.

Everything is kept in wortwright.sqlite3 in the present folder, unless WORTWRIGHT_DATABASE_URL names
another place, such as postgresql://user@host/name.
"""


@click.group(help=ABOUT)
@click.version_option(__version__)
def main() -> None:
    """Gather the commands."""


def _settings() -> Settings:
    try:
        return Settings.from_environment()
    except SettingsError as error:
        raise click.ClickException(str(error)) from error


def _told(act: Callable[[], T]) -> T:
    try:
        return act()
    except BackupError as error:
        raise click.ClickException(str(error)) from error
    except CannotListenError as error:
        raise click.ClickException(f"{error} Name another with --port.") from error
    except DatabaseUnavailableError as error:
        # Whoever serves may know the reason; whoever calls is told none.
        reason = str(getattr(error.__cause__, "orig", "")).partition("\n")[0]
        raise click.ClickException(f"{error} {reason}".strip()) from error


def _up_to_date(settings: Settings) -> Database:
    """Open the database with the tables and the calibrations of this version."""

    def open_database() -> Database:
        database = Database(settings.database_url)
        database.migrate()
        refit_outdated(database)
        return database

    return _told(open_database)


def _club_name(_: click.Context, __: click.Parameter, name: str) -> str:
    if not 0 < len(name.strip()) <= MOST_LETTERS:
        raise click.BadParameter(f"a name has 1 to {MOST_LETTERS} letters, not only blanks.")
    return name.strip()


@main.command(short_help="Serve the API and its pages.")
@click.option("--host", default="127.0.0.1", show_default=True, help=HOST_HELP)
@click.option("--port", default=8080, show_default=True, type=PORT, help="Port to listen on.")
def serve(host: str, port: int) -> None:
    """Serve the API and its pages until Ctrl-C, bringing the database up to date first."""
    settings = _settings()
    _up_to_date(settings).close()
    app = create_app(settings)

    def tell() -> None:
        click.echo(f"Serving on http://{host}:{port} until Ctrl-C.")
        click.echo("For a person: /guide. For programs: /docs; the contract is /v1/openapi.yaml.")

    _told(lambda: serve_app(app, host, port, tell))


@main.command(short_help="Bring the database up to date.")
def migrate() -> None:
    """Bring the database, its tables and what was learnt, up to this version.

    serve and keys do so by themselves; this is for who runs several servers on one database.
    """
    _up_to_date(_settings()).close()
    click.echo("The database is up to date.")


@main.command(short_help="Make a club and its key.")
@click.argument("club", callback=_club_name)
def keys(club: str) -> None:
    """Make a key for CLUB, and the club itself if there is none of that name.

    The key is shown this once. It may do everything within its club, so keep it on the
    club's server; mint brewer and page keys with it through the API.
    """
    settings = _settings()
    database = _up_to_date(settings)
    known = [stored for stored in list_all_clubs(database) if stored.value.name == club]
    if known:
        text = create_club_key(database, known[0].id, settings.pepper)
        click.echo(f"A further key for {club}:", err=True)
    else:
        _, text = create_club(database, Club(club), settings.pepper)
        click.echo(f"The first key of {club}:", err=True)
    click.echo(text)


@main.command(short_help="Write the contract, for programs.")
@click.option(
    "--check",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Compare with this file instead of writing; exit code 1 if it differs.",
)
def openapi(check: Path | None) -> None:
    """Write the contract, OpenAPI 3.1, to standard output."""
    settings = Settings(pepper="0" * 32, database_url="sqlite://")
    text = openapi_yaml(create_app(settings))
    if check is None:
        click.echo(text, nl=False)
    elif check.read_text(encoding="utf-8") != text:
        click.echo(f"{check} differs from the code; write it anew.", err=True)
        sys.exit(1)


@main.command(short_help="Write the guide, for a person.")
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
def guide(folder: Path) -> None:
    """Write the guide into FOLDER: pages to read without a service and without a network."""
    for name in guide_pages.names():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(guide_pages.written(name), encoding="utf-8")
    click.echo(f"Open {folder / guide_pages.FIRST} in a browser.")


@main.command(short_help="Show the whole job on an invented club.")
@click.option(
    "--serve/--no-serve",
    "serving",
    default=True,
    help="Serve the club afterwards, and say which pages to open; or end after the plan.",
)
@click.option(
    "--port",
    default=8080,
    show_default=True,
    type=click.IntRange(0, 65535),
    help="Port to serve it on; 0 takes any that is free.",
)
def demo(serving: bool, port: int) -> None:
    """Show the whole job on an invented club, then serve it until Ctrl-C.

    The club lives in a database of its own, which is thrown away afterwards.
    """
    _told(lambda: walk(serving=serving, port=port))


@main.command(short_help="Write the whole database into a file.")
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
def backup(file: Path) -> None:
    """Write the whole database, as it is at one moment, into FILE.

    The service may go on writing. What keys are checked with, the pepper, is not in FILE: keep
    it as well, or no key in the backup will open anything.
    """
    with closing(Database(_settings().database_url)) as database:
        manifest = _told(lambda: back_up(database, file))
    click.echo(f"{file} holds {len(manifest.tables)} tables of revision {manifest.revision}.")


@main.command(short_help="Put a backup into an empty database.")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option(
    "--verify", is_flag=True, help="Restore into a database made for that, check, throw it away."
)
def restore(file: Path, verify: bool) -> None:
    """Put the backup in FILE into an empty database, and check that it came out as it went in."""
    act = rehearse if verify else restore_backup
    with closing(Database(_settings().database_url)) as database:
        manifest = _told(lambda: act(file, database))
    click.echo("As it was backed up:")
    for table, held in manifest.tables.items():
        click.echo(f"  {table}: {held.partition(',')[0]}")
