"""The demo as a stranger runs it."""

import re
import signal
import subprocess
import sys
import urllib.request
from functools import partial
from pathlib import Path

import pytest

# The pages that the demo leads to, and what each shows.
PAGES = {
    "Brew sheet": "<h1>Long Night Barley Wine</h1>",
    "Calibration": "Whether to trust it",
    "Kettle log": "Write down a reading",
    "Guide": "wortwright: the guide",
    "Contract": "swagger-ui",
}
COMMAND = [sys.executable, "-m", "wortwright", "demo"]


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> str:
    run = subprocess.run(
        [*COMMAND, "--no-serve"],
        cwd=tmp_path_factory.mktemp("demo"),
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    return run.stdout


@pytest.mark.parametrize(
    "said",
    [
        "Calibrating from past brews",
        "12/12",
        "Weigh",
        "Hops",
        "strike water",
        "mash efficiency",
        "original gravity",
        "Room in the vessels",
        "dry malt extract, for the low end",
        "the recipe's own",
        "the plain average of past brews",
        "Take care",
    ],
)
def test_the_plan_says_what_a_brewer_needs(printed: str, said: str) -> None:
    assert said in printed


def test_fixed_efficiencies_land_below_the_target_and_the_plan_on_it(printed: str) -> None:
    lands = {
        rule: float(re.search(rf"{rule}.*?kg +(1\.\d+)", printed)[1])  # type: ignore[index]
        for rule in ("the recipe's own", "the plain average", "this plan")
    }
    assert lands["the recipe's own"] < lands["this plan"] == pytest.approx(1.108, abs=0.0015)
    assert lands["the plain average"] < lands["this plan"]


def test_it_serves_until_interrupted_and_its_pages_and_curl_lines_work(tmp_path: Path) -> None:
    command = [*COMMAND, "--port", "0"]
    with subprocess.Popen(
        command,
        cwd=tmp_path,
        stdout=subprocess.PIPE,
        text=True,
        # A shell's background job ignores Ctrl-C, and so would its children.
        preexec_fn=partial(signal.signal, signal.SIGINT, signal.SIG_DFL),
    ) as process:
        try:
            lines = _lines(process)
            curls = [line for line in lines if line.startswith("curl ")]
            assert len(curls) == 3
            for line in curls:
                _must_answer_an_object(line)
            for name, heading in PAGES.items():
                (address,) = [line.partition(": ")[2] for line in lines if f"  {name}" in line]
                _must_show(address, heading)
            process.send_signal(signal.SIGINT)
            assert process.wait(timeout=20) == 0
        finally:
            process.kill()


def _lines(process: subprocess.Popen[str]) -> list[str]:
    """Everything printed up to the third line for a shell, which is the last."""
    assert process.stdout is not None
    lines: list[str] = []
    for line in process.stdout:
        lines.append(line.rstrip("\n"))
        if sum(one.startswith("curl ") for one in lines) == 3:
            break
    return lines


def _must_show(address: str, heading: str) -> None:
    asked = urllib.request.Request(address, headers={"Accept": "text/html"})
    with urllib.request.urlopen(asked, timeout=30) as answer:
        assert heading in answer.read().decode()


def _must_answer_an_object(curl: str) -> None:
    command = f"{curl} --silent --show-error --fail"
    answered = subprocess.run(
        command, shell=True, capture_output=True, text=True, timeout=30, check=False
    )
    assert answered.returncode == 0, answered.stderr
    assert answered.stdout.startswith("{")
