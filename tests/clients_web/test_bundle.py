"""The one file that a club's page loads."""

import gzip
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
import yaml

from clients_web.club_site import WEB
from wortwright.api.app import create_app
from wortwright.api.contract import openapi_yaml
from wortwright.settings import Settings

BUNDLE = WEB / "wortwright-recipe.js"
MOST_BYTES = 40_000


def test_is_under_forty_kilobytes_gzipped() -> None:
    assert len(gzip.compress(BUNDLE.read_bytes())) < MOST_BYTES


def test_names_no_host() -> None:
    assert re.findall(rb"(?:https?:|wss?:)?//[a-z0-9-]+\.[a-z]", BUNDLE.read_bytes()) == []


def test_is_what_the_build_makes_of_the_source(tmp_path: Path) -> None:
    npm = shutil.which("npm")
    if npm is None or not (WEB / "node_modules").exists():
        pytest.skip("the build's tools are not installed: npm ci in clients/web")
    copy = tmp_path / "web"
    shutil.copytree(WEB, copy, ignore=shutil.ignore_patterns("node_modules", BUNDLE.name))
    (copy / "node_modules").symlink_to(WEB / "node_modules")
    subprocess.run([npm, "run", "build"], cwd=copy, check=True, capture_output=True, timeout=120)
    assert (copy / BUNDLE.name).read_bytes() == BUNDLE.read_bytes()


# The shapes that the source is typed with, by the contract's name of each.
SCHEMAS = {
    "Forecast": "GravityForecastOut",
    "PlannedFermentable": "PlannedFermentableOut",
    "PlannedHop": "PlannedHopOut",
    "WaterPlan": "WaterPlanOut",
    "VesselFit": "VesselFitOut",
    "Fit": "FitOut",
    "BeerForecast": "BeerForecastOut",
    "Alternative": "AlternativeOut",
    "WayOut": "WayOutOut",
    "Plan": "PlanOut",
    "Scaling": "ScalingOut",
    "SetupDocument": "SetupIn",
    "Target": "TargetIn",
    "ScalingDocument": "ScalingIn",
    "StoredSetup": "SetupOut",
    "Brewer": "BrewerOut",
    "Problem": "Problem",
}


@pytest.fixture(scope="module")
def schemas() -> dict[str, Any]:
    app = create_app(Settings(pepper="0" * 32, database_url="sqlite://"))
    read = yaml.safe_load(openapi_yaml(app))
    found: dict[str, Any] = read["components"]["schemas"]
    return found


@pytest.mark.parametrize(("interface", "schema"), SCHEMAS.items())
def test_types_name_only_what_the_contract_has(
    schemas: dict[str, Any], interface: str, schema: str
) -> None:
    source = (WEB / "src" / "api.d.ts").read_text(encoding="utf-8")
    (body,) = re.findall(rf"^export interface {interface} {{\n(.*?)^}}", source, re.M | re.S)
    fields = set(re.findall(r"^  (\w+)\??:", body, re.MULTILINE))
    assert fields
    assert fields <= set(schemas[schema]["properties"])


def test_typed_attributes_are_those_it_listens_to_and_the_readme_explains() -> None:
    typed = re.findall(
        r'^  "?([a-z-]+)"?\??:',
        re.findall(
            r"interface Attributes {\n(.*?)\n}",
            (WEB / "wortwright-recipe.d.ts").read_text(encoding="utf-8"),
            re.DOTALL,
        )[0],
        re.MULTILINE,
    )
    (listed,) = re.findall(
        r"observedAttributes = \[(.*?)\]", (WEB / "src" / "element.js").read_text(), re.DOTALL
    )
    assert typed == re.findall(r'"([a-z-]+)"', listed)
    explained = (WEB / "README.md").read_text(encoding="utf-8")
    assert [name for name in typed if f"`{name}`" not in explained] == []
