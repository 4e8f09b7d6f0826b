import tomllib
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages

import wortwright_client

ROOT = Path(__file__).parents[2] / "clients" / "python"


def test_all_is_sorted_and_complete() -> None:
    public = {name for name in vars(wortwright_client) if not name.startswith("_")}
    modules = {module.name for module in walk_packages(wortwright_client.__path__)}
    assert wortwright_client.__all__ == sorted(wortwright_client.__all__)
    assert set(wortwright_client.__all__) == (public - modules) | {"__version__"}


def test_every_error_is_public() -> None:
    errors = import_module("wortwright_client.errors")
    told = {name for name, one in vars(errors).items() if name.endswith("Error")}
    assert told <= set(wortwright_client.__all__)


def test_distribution_needs_httpx_only_and_is_typed() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert [need.split(">")[0] for need in project["dependencies"]] == ["httpx"]
    assert (ROOT / "src" / "wortwright_client" / "py.typed").exists()
    license_text = (ROOT / "LICENSE").read_bytes()
    assert license_text == (ROOT.parents[1] / "LICENSE").read_bytes()


def test_package_imports_nothing_of_the_service() -> None:
    for path in (ROOT / "src").rglob("*.py"):
        lines = path.read_text(encoding="utf-8").splitlines()
        imports = [line.split()[1] for line in lines if line.startswith(("import ", "from "))]
        assert not [one for one in imports if one.split(".")[0] == "wortwright"], path
