"""The parts of the element that need no browser, by node's own test runner."""

import shutil
import subprocess
from pathlib import Path

import pytest

HERE = Path(__file__).parent


@pytest.mark.parametrize("file", sorted(HERE.glob("*.test.mjs")), ids=lambda file: file.stem)
def test_passes_in_node(file: Path) -> None:
    node = shutil.which("node")
    if node is None:
        pytest.skip("there is no node on this machine")
    run = subprocess.run([node, "--test", file], capture_output=True, text=True, timeout=120)
    assert run.returncode == 0, run.stdout
