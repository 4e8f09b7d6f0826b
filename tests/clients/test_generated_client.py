"""A client that a public generator makes of the contract alone works as well."""

import subprocess
import sys
from collections.abc import Iterator
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from wortwright.api import examples
from wortwright.api.contract import openapi_yaml

pytestmark = pytest.mark.skipif(
    find_spec("openapi_python_client") is None,
    reason="openapi-python-client is not installed: no client is generated from the contract",
)

PACKAGE = "generated_wortwright"
# The generator knows JSON, text and bytes, and has to be told that a drawing is text.
CONFIG = """\
post_hooks: []
content_type_overrides:
  image/svg+xml: text/plain
"""


@pytest.fixture
def generated(app: Flask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """Generate a package from the contract, and make it importable."""
    contract, config = tmp_path / "openapi.yaml", tmp_path / "config.yaml"
    contract.write_text(openapi_yaml(app), encoding="utf-8")
    config.write_text(CONFIG, encoding="utf-8")
    command = [sys.executable, "-m", "openapi_python_client", "generate"]
    command += ["--path", str(contract), "--config", str(config), "--fail-on-warning"]
    command += ["--meta", "none", "--output-path", str(tmp_path / PACKAGE)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    monkeypatch.syspath_prepend(tmp_path)
    yield PACKAGE
    for name in [name for name in sys.modules if name.split(".")[0] == PACKAGE]:
        del sys.modules[name]


class Generated:
    """The generated package, and its client with the club's key."""

    def __init__(self, package: str, address: str, key: str) -> None:
        self.package = package
        self.models = import_module(f"{package}.models")
        self.client = import_module(package).AuthenticatedClient(base_url=address, token=key)

    def operation(self, tag: str, name: str) -> Any:
        return import_module(f"{self.package}.api.{tag}.{name}")


@pytest.fixture
def gen(generated: str, address: str, club_key: str) -> Iterator[Generated]:
    made = Generated(generated, address, club_key)
    with made.client:
        yield made


def test_generated_client_stores_computes_and_is_refused(gen: Generated) -> None:
    create_brewer = gen.operation("brewers", "create_brewer")
    create_scaling = gen.operation("scalings", "create_scaling")
    brewer = gen.models.BrewerIn(name="Ada Millrace")
    made = create_brewer.sync_detailed(client=gen.client, body=brewer)
    assert (made.status_code, made.parsed.name) == (201, "Ada Millrace")
    listed = gen.operation("brewers", "list_brewers").sync(client=gen.client)
    assert [one.id for one in listed.items] == [made.parsed.id]

    scaling = gen.models.ScalingIn.from_dict(examples.SCALING)
    computed = create_scaling.sync_detailed(client=gen.client, body=scaling, store=False)
    assert computed.status_code == 200
    plan = computed.parsed.plan
    assert computed.parsed.id is None
    assert [line.name for line in plan.grist] == [line["name"] for line in examples.RECIPE["grist"]]
    assert plan.grain.unit.value == "kg"
    assert plan.grain.value > 0

    nameless = gen.models.BrewerIn(name="")
    problem = create_brewer.sync(client=gen.client, body=nameless)
    assert (problem.status, problem.errors[0].pointer) == (422, "/name")
