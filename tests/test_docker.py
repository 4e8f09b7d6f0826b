"""What can be said of the image without building it: every package pinned, nobody root."""

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
import yaml
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[1]
LOCK = (ROOT / "docker" / "requirements.lock").read_text(encoding="utf-8")
DOCKERFILE = (ROOT / "docker" / "Dockerfile").read_text(encoding="utf-8")
COMPOSE: dict[str, Any] = yaml.safe_load((ROOT / "docker" / "compose.yaml").read_text())
PROJECT: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text())

_PINNED = re.compile(r"(?m)^([a-z0-9-]+==[^\\\n]+)((?: \\\n    --hash=sha256:[0-9a-f]{64})+)$")


def pinned() -> dict[str, tuple[Requirement, int]]:
    """Every package of the lock with the number of its hashes."""
    found = ((Requirement(line), hashes.count("sha256")) for line, hashes in _PINNED.findall(LOCK))
    return {requirement.name: (requirement, hashes) for requirement, hashes in found}


def asked() -> list[Requirement]:
    """What the image installs: the service, its database driver, its workers, its builder."""
    project = PROJECT["project"]
    extras = project["optional-dependencies"]
    lines = [*project["dependencies"], *extras["postgres"], *extras["workers"]]
    return [Requirement(line) for line in (*lines, *PROJECT["build-system"]["requires"])]


def test_the_lock_holds_pinned_packages_with_hashes_and_nothing_else() -> None:
    rest = [line for line in _PINNED.sub("", LOCK).splitlines() if line]
    assert [line for line in rest if not line.startswith("#")] == []
    assert len(pinned()) >= len(asked())
    assert "://" not in LOCK, "an address of an index or a file"
    assert not re.search(r"(^|\s)/", LOCK), "a path of the machine it was made on"


@pytest.mark.parametrize("requirement", asked(), ids=str)
def test_the_lock_covers_every_dependency(requirement: Requirement) -> None:
    assert canonicalize_name(requirement.name) in pinned(), "run docker/lock.sh"
    found, hashes = pinned()[canonicalize_name(requirement.name)]
    (version,) = found.specifier
    assert (version.operator, hashes >= 1) == ("==", True)
    assert requirement.specifier.contains(version.version), "run docker/lock.sh --upgrade"
    assert found.marker is None or requirement.marker is not None or "pypy" in str(found.marker)


def test_the_image_installs_what_the_lock_says_and_nothing_more() -> None:
    installs = re.findall(r"(?m)^RUN .*pip install (.*)$", DOCKERFILE)
    locked, own = installs
    assert "--require-hashes" in locked
    assert "--only-binary :all:" in locked
    assert locked.endswith("-r requirements.lock")
    assert {"--no-deps", "--no-build-isolation"} <= set(own.split())


def test_the_image_runs_as_nobody_of_rank_and_says_how_it_is() -> None:
    last = DOCKERFILE.rpartition("\nFROM ")[2]
    (user,) = re.findall(r"(?m)^USER (.+)$", last)
    assert user not in ("root", "0")
    assert f"--uid 10001 {user}" in last
    assert last.index("\nUSER ") < last.index("\nCMD ")
    assert "/readyz" in last[last.index("\nHEALTHCHECK ") :]


def test_the_service_may_write_nowhere_but_where_nothing_lasts() -> None:
    service = COMPOSE["services"]["service"]
    assert service["read_only"] is True
    assert service["cap_drop"] == ["ALL"]
    assert service["security_opt"] == ["no-new-privileges:true"]
    assert "volumes" not in service
    assert "user" not in service
    assert service["environment"]["PROMETHEUS_MULTIPROC_DIR"] in service["tmpfs"]


def test_each_part_waits_until_the_one_behind_it_is_well() -> None:
    services = COMPOSE["services"]
    well = {"condition": "service_healthy"}
    assert services["service"]["depends_on"] == {"database": well}
    assert services["proxy"]["depends_on"] == {"service": well}
    assert "pg_isready" in str(services["database"]["healthcheck"]["test"])


def test_only_the_proxy_can_be_reached_and_secrets_come_from_outside() -> None:
    services = COMPOSE["services"]
    assert [name for name, one in services.items() if "ports" in one] == ["proxy"]
    for name in ("WORTWRIGHT_PEPPER", "WORTWRIGHT_DATABASE_URL"):
        assert "${" in services["service"]["environment"][name]
    assert services["database"]["environment"]["POSTGRES_PASSWORD"].startswith("${")
