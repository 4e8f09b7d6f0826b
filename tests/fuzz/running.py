"""Schemathesis against the service: all its checks, all its phases, a fixed seed."""

import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

import schemathesis
from flask import Flask
from schemathesis.config import SchemathesisConfig
from schemathesis.engine import events, from_schema
from waitress import create_server, wasyncore

# A value may fit its schema and be refused all the same: by physics, because what it names is
# not there, or by a state or a version that no schema knows. What is not in this list fails.
SCHEMA_VALID_MAY_GET = ["2xx", "304", "400", "404", "409", "412", "422"]
# 412 and 428 are what RFC 9110 and RFC 6585 answer to an If-Match that is none, or is not there.
SCHEMA_INVALID_GETS = ["400", "401", "403", "404", "405", "409", "412", "415", "422", "428"]
PHASES = ("examples", "coverage", "fuzzing", "stateful")


@dataclass
class Outcome:
    """What a run came to."""

    cases: Counter[str] = field(default_factory=Counter)
    statuses: Counter[int] = field(default_factory=Counter)
    operations: set[str] = field(default_factory=set)
    failures: dict[tuple[str, str, str], str] = field(default_factory=dict)
    errors: list[str] = field(default_factory=list)

    def report(self) -> str:
        """The figures, and every failure with the request that shows it."""
        by_phase = ", ".join(f"{count} {phase}" for phase, count in self.cases.items())
        by_status = ", ".join(f"{count} x {code}" for code, count in sorted(self.statuses.items()))
        lines = [
            f"{self.cases.total()} cases ({by_phase}) over {len(self.operations)} operations",
            f"answers: {by_status}",
            f"failures: {len(self.failures)}, errors: {len(self.errors)}",
            *self.errors,
        ]
        for (operation, check, title), sample in self.failures.items():
            lines.append(f"\n{operation}: {check}: {title}\n{sample}")
        return "\n".join(lines)


@contextmanager
def served(app: Flask) -> Iterator[str]:
    """Serve an application from a thread, for as long as it takes."""
    sockets: dict[int, Any] = {}
    server = create_server(app, map=sockets, host="127.0.0.1", port=0, threads=4, ident=None)
    done = threading.Event()

    def loop() -> None:
        while not done.is_set():
            wasyncore.poll2(0.2, sockets)

    thread = threading.Thread(target=loop, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.effective_port}"
    finally:
        done.set()
        thread.join()
        server.task_dispatcher.shutdown()
        wasyncore.close_all(sockets)


def fuzz(
    app: Flask,
    key: str,
    *,
    examples: int,
    seed: int = 1,
    phases: tuple[str, ...] = PHASES,
    include: str | None = None,
) -> Outcome:
    """Run every phase over every operation, with a club's key."""
    with served(app) as address:
        schema = schemathesis.openapi.from_url(
            f"{address}/v1/openapi.yaml",
            config=_config(key, examples, seed, phases),
            timeout=300.0,
        )
        if include is not None:
            schema = schema.include(path_regex=include)
        return _collect(from_schema(schema).execute())


def _config(key: str, examples: int, seed: int, phases: tuple[str, ...]) -> SchemathesisConfig:
    return SchemathesisConfig.from_dict(
        {
            "seed": seed,
            "headers": {"Authorization": f"Bearer {key}"},
            "continue-on-failure": True,
            "generation": {"max-examples": examples, "no-shrink": True, "database": "none"},
            "checks": {
                "enabled": True,
                "missing_required_header": {"expected-statuses": [401, 428]},
                "negative_data_rejection": {"expected-statuses": SCHEMA_INVALID_GETS},
                "positive_data_acceptance": {"expected-statuses": SCHEMA_VALID_MAY_GET},
            },
            "phases": {name: {"enabled": name in phases} for name in PHASES},
            "request-timeout": 300.0,
        }
    )


def _collect(stream: Any) -> Outcome:
    outcome = Outcome()
    for event in stream:
        if isinstance(event, events.ScenarioFinished):
            _note(outcome, event)
        elif isinstance(event, events.NonFatalError):
            outcome.errors.append(f"{event.label}: {event.value}")
        elif isinstance(event, events.FatalError):
            outcome.errors.append(f"the run ended: {event.exception}")
    return outcome


def _note(outcome: Outcome, event: events.ScenarioFinished) -> None:
    recorder = event.recorder
    outcome.cases[event.phase.name.lower()] += len(recorder.interactions)
    for interaction in recorder.interactions.values():
        if interaction.response is not None:
            outcome.statuses[interaction.response.status_code] += 1
    for case in recorder.cases.values():
        outcome.operations.add(case.value.operation.label)
    for checks in recorder.checks.values():
        for check in checks:
            if check.failure_info is not None:
                failure = check.failure_info.failure
                where = (recorder.label, check.name, f"{failure.title}: {failure.message[:400]}")
                outcome.failures.setdefault(where, check.failure_info.code_sample[:1500])
