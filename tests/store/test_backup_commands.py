"""The commands of the one who runs the service, while it goes on serving."""

import re
import time
from collections.abc import Iterator
from pathlib import Path
from threading import Event, Thread

import pytest
from click.testing import CliRunner, Result

from usecases.house import House
from wortwright.cli import main
from wortwright.store.database import Database


@pytest.fixture
def busy(database: Database) -> Iterator[list[str]]:
    """A database that is written to all the time; the names of the setups stored so far."""
    house, done, stored = House(database), Event(), list[str]()

    def write() -> None:
        while not done.is_set():
            stored.append(str(house.setup().id))

    writer = Thread(target=write)
    writer.start()
    yield stored
    done.set()
    writer.join()


def wait_for_another(stored: list[str]) -> None:
    seen = len(stored)
    while len(stored) == seen:
        time.sleep(0.01)


def run(database: Database, *arguments: str) -> Result:
    url = database.engine.url.render_as_string(hide_password=False)
    told = {"WORTWRIGHT_DATABASE_URL": url, "WORTWRIGHT_PEPPER": "x" * 32}
    return CliRunner().invoke(main, arguments, env=told)


def test_a_backup_made_while_writes_go_on_is_verified_while_they_go_on(
    database: Database, busy: list[str], tmp_path: Path
) -> None:
    wait_for_another(busy)
    before = len(busy)
    file = str(tmp_path / "backup")
    made = run(database, "backup", file)
    after = len(busy) + 1
    assert made.exit_code == 0, made.output
    verified = run(database, "restore", "--verify", file)
    assert verified.exit_code == 0, verified.output
    counted = dict(re.findall(r"(?m)^  (\w+): (\d+) rows$", verified.output))
    assert before <= int(counted["setups"]) <= after
    assert counted["calibrations"] == counted["setups"], "each is stored with its setup"
    wait_for_another(busy)


def test_a_bad_backup_is_told_and_exits_with_1(database: Database, tmp_path: Path) -> None:
    House(database)
    file = tmp_path / "backup"
    assert run(database, "backup", str(file)).exit_code == 0
    file.write_bytes(file.read_bytes()[:-100])
    bad = run(database, "restore", "--verify", str(file))
    assert bad.exit_code == 1
    assert "not a whole backup" in bad.output
    full = run(database, "backup", str(file))
    assert (full.exit_code, "overwrites nothing" in full.output) == (1, True)
