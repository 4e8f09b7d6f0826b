"""What a request costs, in processor time and beside bare Flask and marshmallow.

    python tests/benchmarks/service.py                    # ratios, and every route
    python tests/benchmarks/service.py --database postgresql://postgres@127.0.0.1/postgres

Processor time, not the clock: other work on the machine then hardly counts. Echo and service take
turns, a ratio is of neighbours, and the median of the ratios is told with the least and the most.
The echo loads and dumps the same documents by plain marshmallow schemas and does nothing else.
"""

import argparse
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks.echo import echo_app
from benchmarks.house import House, served_house

BARS = {"scaling, store=false": 0.30, "scaling, stored": 0.15}


def cpu_ms(act: Callable[[], Any], count: int) -> float:
    """Processor time of one call. [ms]"""
    began = time.process_time()
    for _ in range(count):
        act()
    return (time.process_time() - began) / count * 1000


def ratios(house: House, rounds: int, count: int) -> Iterator[str]:
    """Throughput beside the echo's, for one scaling that fits."""
    asked = house.scaling
    answered = house.post("/v1/scalings?store=false", asked)
    assert answered["plan"]["fit"]["fits"], "the scaling measured is one that fits"
    client = echo_app(asked, answered).test_client()

    def echo() -> None:
        assert client.post("/echo", json=asked).status_code == 200

    acts = {
        "scaling, store=false": lambda: house.send("/v1/scalings?store=false", asked),
        "scaling, stored": lambda: house.send("/v1/scalings", asked),
    }
    taken: dict[str, list[tuple[float, float]]] = {name: [] for name in acts}
    for act in (echo, *acts.values()):
        cpu_ms(act, 20)
    for _ in range(rounds):
        for name, act in acts.items():
            before, own, after = cpu_ms(echo, count), cpu_ms(act, count), cpu_ms(echo, count)
            taken[name].append(((before + after) / 2, own))
    yield f"{'':24}{'echo ms':>9}{'own ms':>9}{'of echo':>9}   [least, most]   bar"
    for name, pairs in taken.items():
        found = sorted(echo_ms / own_ms for echo_ms, own_ms in pairs)
        middle = statistics.median(found)
        echo_ms, own_ms = (statistics.median(column) for column in zip(*pairs, strict=True))
        verdict = "reached" if middle >= BARS[name] else "NOT REACHED"
        yield (
            f"{name:24}{echo_ms:9.2f}{own_ms:9.2f}{middle:9.2f}   "
            f"[{found[0]:.2f}, {found[-1]:.2f}]   {BARS[name]:.2f} {verdict}"
        )


def routes(house: House, count: int) -> Iterator[str]:
    """Every route that is asked often: processor time, and the clock's p50 and p99."""
    yield f"\n{'':44}{'CPU ms':>8}{'p50 ms':>8}{'p99 ms':>8}"
    for name, act in house.acts().items():
        act()
        walls = []
        began = time.process_time()
        for _ in range(count):
            started = time.perf_counter()
            act()
            walls.append((time.perf_counter() - started) * 1000)
        cpu = (time.process_time() - began) / count * 1000
        walls.sort()
        p50, p99 = walls[len(walls) // 2], walls[int(len(walls) * 0.99)]
        yield f"{name:44}{cpu:8.2f}{p50:8.2f}{p99:8.2f}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--database", default="sqlite", help="sqlite, or a PostgreSQL server")
    parser.add_argument("--rounds", type=int, default=9)
    parser.add_argument("--count", type=int, default=60, help="requests a turn")
    asked = parser.parse_args()
    with served_house(asked.database) as house:
        for line in ratios(house, asked.rounds, asked.count):
            print(line, flush=True)
        for line in routes(house, asked.count * 2):
            print(line, flush=True)


if __name__ == "__main__":
    main()
