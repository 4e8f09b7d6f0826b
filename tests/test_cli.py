"""The command line tells a person what to do, also when something is wrong."""

import re
import socket
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from wortwright.cli import main

COMMANDS = ("serve", "demo", "keys", "migrate", "backup", "restore", "openapi", "guide")


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Result]:
    """Run a command in an empty folder, with nothing set."""
    monkeypatch.chdir(tmp_path)
    for name in ("DATABASE_URL", "PEPPER", "PEPPER_FILE"):
        monkeypatch.delenv(f"WORTWRIGHT_{name}", raising=False)
    return lambda *arguments, **env: CliRunner().invoke(main, arguments, env=env)


@pytest.fixture
def taken() -> Iterator[str]:
    """A port on which somebody listens."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        yield str(server.getsockname()[1])


def test_the_help_names_every_command_in_a_whole_sentence(run: Callable[..., Result]) -> None:
    told = run("--help").output
    listed = re.findall(r"^  (\w+) +(\S.*)$", told.partition("Commands:\n")[2], re.MULTILINE)
    assert {name for name, _ in listed} == set(COMMANDS)
    assert all(said.endswith(".") and not said.endswith("...") for _, said in listed)
    assert "WORTWRIGHT_DATABASE_URL" in told


@pytest.mark.parametrize("command", COMMANDS)
def test_every_option_of_a_command_is_explained(run: Callable[..., Result], command: str) -> None:
    told = run(command, "--help")
    assert told.exit_code == 0
    options = re.split(r"\n(?=  -)", told.output.partition("Options:\n")[2])
    assert all(re.search(r" {2,}[A-Z]|\n {10,}\w", option) for option in options), told.output


def test_a_club_gets_its_first_key_and_a_further_one(run: Callable[..., Result]) -> None:
    first, second = run("keys", " Our club "), run("keys", "Our club")
    assert "The first key of Our club:" in first.output
    assert "A further key for Our club:" in second.output
    assert re.search(r"^ww_club_\w+$", first.output, re.MULTILINE)
    assert first.output.splitlines()[-1] != second.output.splitlines()[-1]


@pytest.mark.parametrize("name", ["", "  ", "a" * 201])
def test_a_club_without_a_name_is_refused(run: Callable[..., Result], name: str) -> None:
    answer = run("keys", name)
    assert answer.exit_code == 2
    assert "1 to 200 letters" in answer.output


@pytest.mark.parametrize("command", ["serve", "demo"])
def test_a_port_that_is_taken_is_told_and_nothing_is_said_to_be_served(
    run: Callable[..., Result], taken: str, command: str
) -> None:
    answer = run(command, "--port", taken)
    assert answer.exit_code == 1
    assert f"port {taken}: address already in use" in answer.output
    assert "Name another with --port" in answer.output
    assert "Serving on" not in answer.output
    assert "Calibrating" not in answer.output


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("serve", "--port", "99999"), "1<=x<=65535"),
        (("serve", "--host", "999.1.1.1", "--port", "8080"), "Nothing can listen on 999.1.1.1"),
        (("srve",), "Did you mean 'serve'?"),
        (("restore", "nowhere.zip"), "does not exist"),
        (("openapi", "--check", "nowhere.yaml"), "does not exist"),
        (("backup",), "Missing argument 'FILE'"),
    ],
)
def test_what_is_written_wrongly_is_named(
    run: Callable[..., Result], arguments: tuple[str, ...], said: str
) -> None:
    answer = run(*arguments)
    assert answer.exit_code != 0
    assert said in answer.output


@pytest.mark.parametrize(
    ("environment", "said"),
    [
        ({"WORTWRIGHT_PEPPER": "short"}, "must be 32 characters or more"),
        ({"WORTWRIGHT_PEPPER_FILE": "nowhere"}, "nowhere, the file of the pepper: No such file"),
        ({"WORTWRIGHT_DATABASE_URL": "postgresql://x@127.0.0.1:1/x"}, "Set WORTWRIGHT_PEPPER"),
        ({"WORTWRIGHT_DATABASE_URL": "sqlite:////nowhere/at/all.db"}, "cannot be made"),
        (
            {"WORTWRIGHT_DATABASE_URL": "my database", "WORTWRIGHT_PEPPER": "x" * 32},
            "must begin with sqlite:/// or postgresql://",
        ),
        (
            {
                "WORTWRIGHT_DATABASE_URL": "postgresql://x@127.0.0.1:1/x",
                "WORTWRIGHT_PEPPER": "x" * 32,
            },
            "Connection refused",
        ),
        (
            {
                "WORTWRIGHT_DATABASE_URL": "sqlite:////nowhere/at/all.db",
                "WORTWRIGHT_PEPPER": "x" * 32,
            },
            "unable to open database file",
        ),
    ],
)
def test_an_environment_that_does_not_work_is_told_in_a_sentence(
    run: Callable[..., Result], environment: dict[str, str], said: str
) -> None:
    answer = run("migrate", **environment)
    assert answer.exit_code == 1
    assert answer.output.startswith("Error: ")
    assert said in answer.output
