"""Readings beside the curve that are far from what all others come to, in a sentence each."""

from collections.abc import Iterable

from wortwright.calibration.linear import Doubt
from wortwright.calibration.posterior import Finding
from wortwright.records.dimension import Dimension
from wortwright.records.sentence import Amount, Said, in_a_row, litres, say


def of_mash_in(doubt: Doubt) -> Finding:
    """A mash that came out far from what its strike water gives."""
    return _finding(
        doubt,
        say(
            "The mash came out {by} {way} than the other brews expect of its strike water.",
            by=_difference(abs(doubt.above)),
            way="warmer" if doubt.above > 0.0 else "cooler",
        ),
    )


def of_cooling(doubt: Doubt) -> Finding:
    """A mash that cooled far more or far less than the others."""
    return _finding(
        doubt,
        say(
            "By its temperatures the mash lost {lost} in an hour; the other brews expect about "
            "{expected}.",
            lost=_difference(doubt.value),
            expected=_difference(doubt.value - doubt.above),
        ),
    )


def of_fermenter_loss(doubt: Doubt) -> Finding:
    """A beer of which far more or far less was packaged than of the others."""
    return _finding(
        doubt,
        say(
            "By the volumes {lost} were left in the fermenter; the other beers expect about "
            "{expected}.",
            lost=litres(doubt.value),
            expected=litres(doubt.value - doubt.above),
        ),
    )


def of_beer(doubt: Doubt) -> Finding:
    """A beer that fermented far more or far less than its yeast, its mash and the setup tell."""
    way = "further" if doubt.above > 0.0 else "less far"
    return _finding(
        doubt,
        f"By its gravities the beer fermented {100.0 * abs(doubt.above):.0f} percentage points "
        f"{way} than its yeast, its mash and the other beers expect.",
    )


def together(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """One finding a session, with every reason and the least weight."""
    by_session: dict[str, list[Finding]] = {}
    for finding in findings:
        by_session.setdefault(finding.session_id, []).append(finding)
    return tuple(found[0] if len(found) == 1 else _joined(found) for found in by_session.values())


def _joined(found: list[Finding]) -> Finding:
    reasons = in_a_row(tuple(finding.reason for finding in found), " ")
    return Finding(found[0].session_id, min(finding.weight for finding in found), reasons)


def _finding(doubt: Doubt, reason: Said) -> Finding:
    return Finding(doubt.session_id, doubt.weight, reason)


def _difference(degrees_c: float) -> Amount:
    return Amount(degrees_c, Dimension.TEMPERATURE_DIFFERENCE)
