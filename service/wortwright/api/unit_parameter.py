"""The ``units`` parameter, which every operation takes."""

from flask import request

from wortwright.api.problem_table import INVALID_PARAMETER
from wortwright.api.problems import ProblemError
from wortwright.api.unit_choice import choose
from wortwright.units import UnitSystem


def forget(_: BaseException | None) -> None:
    """Leave no choice behind when a request ends."""
    choose(None)


def choose_as_asked() -> None:
    """Take the choice from the request's ``units`` parameter."""
    asked = request.args.get("units")
    if asked is not None and asked not in tuple(UnitSystem):
        accepted = [str(system) for system in UnitSystem]
        detail = f"{asked[:40]!r} is no system of units"
        entry = {"parameter": "units", "detail": f"{detail}.", "accepted": accepted}
        choose(None)
        raise ProblemError(
            INVALID_PARAMETER, f"{detail}; write one of {', '.join(accepted)}.", errors=[entry]
        )
    choose(asked)
