"""A stranger's path through the README: its own commands, run as they stand."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from ports import free_port

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")


def commands() -> str:
    """The shell commands of the section, at this environment's programs and a free port."""
    section = README.split("## From nothing to a plan")[1].split("\n## ")[0]
    return "\n".join(re.findall(r"```sh\n(.*?)```", section, re.DOTALL))


def test_the_path_is_at_most_twelve_commands() -> None:
    # The helpers for the shell are two; making the environment is one more, above the section.
    without_documents = re.sub(r"<<'?EOF'?.*?\nEOF", "", commands(), flags=re.DOTALL)
    starts = [
        line
        for line in without_documents.splitlines()
        if line.strip() and not line.startswith((" ", ")"))
    ]
    assert 1 + len(starts) <= 12


@pytest.fixture(scope="module")
def answered(
    tmp_path_factory: pytest.TempPathFactory,
) -> subprocess.CompletedProcess[str]:
    port = free_port()
    script = (
        commands()
        .replace(".venv/bin/", f"{Path(sys.executable).parent}/")
        .replace("wortwright serve &", f"wortwright serve --port {port} >&2 &\nSERVER=$!")
        .replace(":8080", f":{port}")
    )
    return subprocess.run(
        ["bash", "-euo", "pipefail", "-c", f"trap 'kill $SERVER' EXIT\n{script}"],
        cwd=tmp_path_factory.mktemp("stranger"),
        env={key: value for key, value in os.environ.items() if "WORTWRIGHT" not in key},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def test_it_ends_in_a_plan(answered: subprocess.CompletedProcess[str]) -> None:
    assert answered.returncode == 0, answered.stderr
    session_id, _, plan = answered.stdout.partition("\n")
    assert re.fullmatch(r"[0-9a-f-]{36}", session_id)
    assert json.loads(plan)["plan"]["fit"]["fits"] is True


def test_the_plan_rests_on_the_session(answered: subprocess.CompletedProcess[str]) -> None:
    scaling = json.loads(answered.stdout.partition("\n")[2])
    assert scaling["computed_from"]["calibration_version"] == 1
