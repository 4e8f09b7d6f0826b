"""The readings of one session reconciled, and which of them disagrees with the others."""

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace

import numpy as np

from wortwright.calibration.balance import Balance, balanced
from wortwright.calibration.evidence import evidence_of
from wortwright.calibration.explanations import (
    NO_BREW,
    Explained,
    NothingToReconcileError,
    certain,
    explain,
    unexpected,
)
from wortwright.calibration.extract_lost import ExtractLost, extract_lost
from wortwright.calibration.figures import (
    MEASURES,
    ROWS,
    WORDS,
    Figure,
    Name,
    figures_of,
    natural,
    read_of,
)
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.history import Row
from wortwright.calibration.intervals import SCORE_80
from wortwright.calibration.posterior import Calibration, OwnWord
from wortwright.records.dimension import Dimension
from wortwright.records.sentence import Amount, Said, capitalised, in_a_row, say
from wortwright.records.session import Session
from wortwright.records.setup import Setup

NEGLIGIBLE = 1e-3
"""Explanations less probable than this tell no figure."""

NAMED, MENTIONED = 0.5, 0.2
"""A wrong reading is told where one is more probable than not; those that may be it are
mentioned from the second probability on."""

POINTS = 1000.0


@dataclass(frozen=True, slots=True)
class Reconciled:
    """One figure of a session: as read, if it was, and what all readings together say.

    ``trust`` is the probability that the reading is not wrong.
    """

    name: Name
    read: Amount | None
    mean: Amount
    low_80: Amount
    high_80: Amount
    trust: float | None


@dataclass(frozen=True, slots=True)
class Disagreement:
    """A reading that is probably wrong: what it is, what the others allow, and how surely."""

    name: Name
    read: Amount
    expected: Amount
    probability: float
    detail: Said


@dataclass(frozen=True, slots=True)
class Reconciliation:
    """The readings of a session balanced; ``balance`` is the probability that none is wrong."""

    quantities: tuple[Reconciled, ...]
    balance: float
    disagreements: tuple[Disagreement, ...]
    extract_lost: ExtractLost
    detail: Said
    unusable: tuple[Said, ...]


def reconcile(session: Session, calibration: Calibration) -> Reconciliation:
    """Balance the readings of one session, given the calibration from the others.

    The readings are volumes and gravities (`kettle_reading`).
    """
    explained = explained_session(session, calibration)
    with _of_a_brew():
        disagreements = _disagreements(explained, calibration)
        lost = extract_lost(explained)
    return Reconciliation(
        quantities=_quantities(explained),
        balance=max(0.0, 1.0 - sum(explained.doubt(row) for row in ROWS)),
        disagreements=disagreements,
        extract_lost=lost,
        detail=_told(disagreements),
        unusable=explained.evidence.unusable,
    )


def explained_session(session: Session, calibration: Calibration) -> Explained:
    """Weigh what explains a session; one without mashed grain or readings is refused."""
    evidence = evidence_of("", session)
    if evidence is None:
        raise NothingToReconcileError("no grain was mashed")
    with _of_a_brew():
        explained = explain(evidence, calibration)
        figures = mixed_figures(explained)
    if not np.isfinite(list(figures.values())).all():
        raise NothingToReconcileError(NO_BREW)
    if not read_of(explained):
        raise NothingToReconcileError("neither a volume nor a gravity can be used yet")
    return explained


@contextmanager
def _of_a_brew() -> Iterator[None]:
    """Refuse readings of no brew at all: they overflow somewhere on the way."""
    try:
        with np.errstate(all="ignore"):
            yield
    except (np.linalg.LinAlgError, ArithmeticError) as error:
        raise NothingToReconcileError(NO_BREW) from error


def mixed_figures(explained: Explained) -> dict[Name, tuple[float, float]]:
    """Mean and sd of every figure over all that may explain the session, where it is linear."""
    told = [one for one in explained.explanations if one.probability > NEGLIGIBLE]
    weights = np.array([one.probability for one in told])
    weights /= weights.sum()
    by_explanation = [figures_of(explained, one.balance) for one in told]
    mixed = {}
    for name in by_explanation[0]:
        figures = [figures[name] for figures in by_explanation]
        means = np.array([figure.mean for figure in figures])
        variances = np.array(
            [_variance(figure, one.balance) for figure, one in zip(figures, told, strict=True)]
        )
        mean = float(weights @ means)
        variance = float(weights @ (variances + (means - mean) ** 2))
        mixed[name] = (mean, math.sqrt(max(variance, 0.0)))
    return mixed


def _variance(figure: Figure, balance: Balance) -> float:
    return float(figure.by @ balance.covariance @ figure.by)


def amount_of(name: Name, value: float) -> Amount:
    """Give a figure with what it measures."""
    return Amount(value, MEASURES.get(name, Dimension.VOLUME))


def _quantities(explained: Explained) -> tuple[Reconciled, ...]:
    read, rows = read_of(explained), {name: row for row, name in ROWS.items()}
    found = []
    for name, (mean, sd) in mixed_figures(explained).items():
        low, middle, high = (
            amount_of(name, natural(name, mean + score * sd))
            for score in (-SCORE_80, 0.0, SCORE_80)
        )
        as_read = amount_of(name, read[name]) if name in read else None
        doubted = name in read and name in rows
        trust = 1.0 - explained.doubt(rows[name]) if doubted else None
        found.append(Reconciled(name, as_read, middle, low, high, trust))
    return tuple(found)


def _disagreements(explained: Explained, calibration: Calibration) -> tuple[Disagreement, ...]:
    """Readings that may be wrong, where it is more probable than not that one is."""
    doubts = {row: explained.doubt(row) for row in ROWS}
    if sum(doubts.values()) < NAMED:
        return ()
    named = [row for row, probability in doubts.items() if probability >= MENTIONED]
    named.sort(key=doubts.__getitem__, reverse=True)
    return tuple(_disagreement(explained, calibration, row) for row in named)


def _disagreement(explained: Explained, calibration: Calibration, row: Row) -> Disagreement:
    name = ROWS[row]
    one = next(one for one in explained.explanations if one.wrong is row)
    read = read_of(explained)[name]
    expected = natural(name, figures_of(explained, one.balance)[name].mean)
    by = _by_which(explained, calibration, row, one.balance)
    detail = say(
        "the {what} is {difference} {side} what {allowed}",
        what=WORDS[name],
        difference=_difference(name, read, expected),
        side="above" if read > expected else "below",
        allowed=_allowed([WORDS[ROWS[other]] for other in by]),
    )
    return Disagreement(
        name, amount_of(name, read), amount_of(name, expected), one.probability, detail
    )


def _allowed(others: Sequence[str]) -> str:
    if not others:
        return "this setup usually gives"
    return f"{' and '.join(f'the {one}' for one in others)} allow{'s' * (len(others) == 1)}"


def _difference(name: Name, read: float, expected: float) -> Amount | str:
    if MEASURES.get(name) is Dimension.GRAVITY:
        points = POINTS * abs(read - expected)
        return f"{points:.0f} gravity points" if points >= 1.5 else "1 gravity point"
    return amount_of(name, abs(read - expected))


def _by_which(
    explained: Explained, calibration: Calibration, row: Row, balance: Balance
) -> Sequence[Row]:
    """The readings that tell most of what another should have been: two at most."""
    history, method = explained.history, calibration.efficiency.method
    known = np.flatnonzero(np.isfinite(history.read[0]))
    used = [other for other in ROWS if other in known and other != row]
    _, variance = unexpected(history, balance, row)
    told = {}
    for other in used:
        left = known[(known != other) & (known != row)]
        without = balanced(
            history,
            method,
            calibration.efficiency.runnings,
            explained.known,
            left,
            balance.unknowns,
        )
        told[other] = unexpected(history, without, row)[1] / variance - 1.0
    most = sorted(told, key=told.__getitem__, reverse=True)[:2]
    return [other for other in most if told[other] > 0.02 and told[other] > told[most[0]] / 4.0]


def _told(disagreements: Sequence[Disagreement]) -> Said:
    if not disagreements:
        return "The readings balance: none of them disagrees with the others."
    details = tuple(one.detail for one in disagreements)
    if len(details) == 1:
        certainty = certain(disagreements[0].probability)
        sentence = say("{detail} ({certainty}).", detail=details[0], certainty=certainty)
        return capitalised(sentence)
    return say(
        "Either {details}: the readings cannot tell which.", details=in_a_row(details, ", or ")
    )


def calibration_beside(
    setup: Setup,
    others: Sequence[tuple[str, Session]],
    session: Session,
    club: Sequence[OwnWord] = (),
) -> Calibration:
    """Calibration of a setup as it was in a session's era, from the sessions beside it.

    What was changed later, and what was brewed after that, is left out. ``club`` is what the
    setups that share with this one say.
    """
    day = session.brewed_at.date()
    later = [change.on for change in setup.changes if change.on > day]
    then = replace(setup, changes=tuple(one for one in setup.changes if one.on <= day))
    until = min(later, default=None)
    return fit_calibration(
        then,
        [pair for pair in others if until is None or pair[1].brewed_at.date() < until],
        club,
    )
