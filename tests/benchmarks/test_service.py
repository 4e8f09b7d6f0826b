"""Short runs of the benchmarks of the service: that they measure what they say, not how fast."""

import random
from uuid import UUID

import pytest
from sqlalchemy import func, select

from benchmarks import growth
from benchmarks.soak import SAMPLES, Soaked, soak
from reliability.crowd import assert_posterior_is_a_refit_from_scratch
from reliability.serving import HAS_GRANIAN
from wortwright.store.models import ClubRow, SessionRow, SetupRow

FEW, MANY = 3, 120


@pytest.mark.slow
@pytest.mark.postgres
def test_growth_asks_the_same_of_few_and_of_many(postgres_server: str) -> None:
    with growth.side(postgres_server, FEW, 1) as few, growth.side(postgres_server, MANY, 1) as many:
        for one, setups in ((few, FEW), (many, MANY)):
            _assert_populated(one, setups)
        growth.measure(few, many, 2)
        table = "\n".join(growth.report(few, many))
    assert "60 and 2,400 sessions, 2 requests of each kind" in table
    assert all(name in table for name in growth.ACTS)
    assert {len(taken) for one in (few, many) for taken in one.taken.values()} == {2}


def _assert_populated(side: growth.Side, setups: int) -> None:
    """Everything is there, and what is said of a setup is what its sessions teach."""
    with side.database.read() as tx:
        for table, count in ((SetupRow, setups), (SessionRow, setups * 20)):
            # The club that was copied is there as well.
            whole = count + count // setups
            assert tx.scalar(select(func.count()).select_from(table)) == whole
        assert tx.scalar(select(func.count()).select_from(ClubRow)) == 1 + -(-setups // 50)
        setup = tx.get(SetupRow, UUID(random.Random(1).choice(side.places).setup_id))
        assert setup is not None
    taught = assert_posterior_is_a_refit_from_scratch(side.database, setup.club_id, setup.id)
    assert taught == 20


@pytest.mark.parametrize(("times", "passes"), [(1.04, True), (1.2, True), (1.4, False)])
def test_the_verdict_of_growth_is_of_the_slowest_in_a_hundred(times: float, passes: bool) -> None:
    def asked(slowest: float) -> growth.Side:
        made = growth.Side(None, None, [], random.Random(1))  # type: ignore[arg-type]
        made.taken = {name: [1.0] * 98 + [slowest] * 2 for name in growth.ACTS}
        return made

    few, many = asked(10.0), asked(10.0 * times)
    assert growth.ratio(few, many) == pytest.approx(times)
    assert (growth.ratio(few, many) <= growth.BAR) == passes


@pytest.mark.slow
@pytest.mark.skipif(not HAS_GRANIAN, reason="granian comes with the workers extra")
def test_a_soak_sees_what_the_workers_hold() -> None:
    soaked = soak("sqlite", 0.1)
    assert len(soaked.held) == SAMPLES
    assert min(soaked.held) > 100, "two workers with scikit-learn hold more than that"
    assert soaked.requests >= 10
    assert f"{soaked.requests} requests" in soaked.report()


def test_a_leak_is_seen() -> None:
    steady = Soaked(10, 1, [200.0 + n % 2 for n in range(SAMPLES)])
    leaking = Soaked(10, 1, [200.0 + n for n in range(SAMPLES)])
    assert "bar 1.05 reached" in steady.report()
    assert "NOT REACHED" in leaking.report()
