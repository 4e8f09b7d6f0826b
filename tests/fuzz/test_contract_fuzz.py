"""A short run of the fuzzer; ``python tests/fuzz/run.py`` is the long one."""

import pytest
from flask import Flask

from api.everything import Everything

pytest.importorskip("schemathesis", reason="the fuzzer comes with the dev extra")

from fuzz.running import fuzz

EXAMPLES = 8


@pytest.mark.slow
def test_every_operation_keeps_its_promises_whatever_it_is_sent(
    app: Flask, things: Everything
) -> None:
    outcome = fuzz(
        app,
        things.house.club_key,
        examples=EXAMPLES,
        phases=("examples", "fuzzing", "stateful"),
    )
    assert not outcome.failures, outcome.report()
    assert not outcome.errors, outcome.report()
    assert outcome.cases.total() >= 500
    assert outcome.statuses[200] + outcome.statuses[201] >= 50, "hardly anything was accepted"
    assert not [status for status in outcome.statuses if status >= 500]
