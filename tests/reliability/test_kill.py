"""A short run of the killing; ``python tests/reliability/kill.py --kills 200`` is the long one."""

import pytest

from reliability.kill import kill_under_load

KILLS = 8


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)])
def test_a_killed_server_has_every_acknowledged_write_exactly_once(
    request: pytest.FixtureRequest, kind: str
) -> None:
    database = kind if kind == "sqlite" else request.getfixturevalue("postgres_server")
    report = kill_under_load(database, KILLS)
    assert "lost: 0, done twice: 0" in report
