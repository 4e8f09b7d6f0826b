"""Whatever numbers a brewer writes down, nothing about them is a fault."""

from flask import Flask

from api.everything import Everything
from api.promises import contract_of
from fuzz.extremes import Extremes

# An absurd session is named on these and breaks none of them.
ALWAYS_ANSWERED = (
    "/v1/setups/{setup_id}/calibration",
    "/v1/setups/{setup_id}/calibration/report",
    "/v1/setups/{setup_id}/calibration/page",
    "/v1/setups/{setup_id}/calibration/chart.svg",
    "/v1/sessions/{session_id}/outlook",
    "/v1/sessions/{session_id}/log",
    "/v1/scalings/{scaling_id}/sheet",
)


def test_extreme_numbers_are_refused_or_answered_and_never_a_fault(
    app: Flask, things: Everything
) -> None:
    extremes = Extremes(things, contract_of(app), seed=7)
    for _ in range(40):
        extremes.brew()
    assert extremes.faults == []
    for path in ALWAYS_ANSWERED:
        statuses = {status for label, status in extremes.answers if label == path}
        assert statuses == {200}, path
