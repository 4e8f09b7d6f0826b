"""What one brew says: reconciled, beside another, and what it taught."""

from dataclasses import dataclass

from wortwright_client._reading import Model
from wortwright_client.quantities import Amount, Forecast, Interval, Quantity


@dataclass(frozen=True, kw_only=True)
class Reconciled(Model):
    """One figure of a brew: as read at 20 degC, None if it was not, and what all readings say.

    ``trust`` is the probability that the reading is not wrong.
    """

    name: str
    read: Quantity | None
    mean: Quantity
    interval_80: Interval
    trust: float | None


@dataclass(frozen=True, kw_only=True)
class Disagreement(Model):
    """A reading that is probably wrong, what the others allow, and how surely."""

    name: str
    read: Quantity
    expected: Quantity
    probability: float
    detail: str


@dataclass(frozen=True, kw_only=True)
class Share(Model):
    """A share of the extract in the grain; the ends are those of its 80 % interval."""

    mean: float
    low_80: float
    high_80: float


@dataclass(frozen=True, kw_only=True)
class ExtractLost(Model):
    """Where the extract of a brew went, against what is expected of its setup.

    ``would_tell`` is the reading that was not taken and would tell.
    """

    verdict: str
    place: str | None
    certainty: float | None
    not_dissolved: Share
    left_in_grain: Share
    shortfall: Share
    short: float
    in_conversion: float
    would_tell: str | None
    detail: str


@dataclass(frozen=True, kw_only=True)
class Reconciliation(Model):
    """The readings of a brew against one another, and reconciled by weighted least squares.

    ``balance`` is the probability that no reading is wrong. ``other_sessions`` is how many
    sessions tell what the setup usually does.
    """

    session_id: str
    other_sessions: int
    balance: float
    quantities: tuple[Reconciled, ...]
    disagreements: tuple[Disagreement, ...]
    extract_lost: ExtractLost
    unusable: tuple[str, ...]
    detail: str


@dataclass(frozen=True, kw_only=True)
class Compared(Model):
    """One figure of two brews, and how much more it is in this than in the other.

    One that is not ``real`` is within the noise.
    """

    name: str
    other: Quantity
    this: Quantity
    difference: Quantity
    interval_80: Interval
    sure: float
    real: bool
    detail: str


@dataclass(frozen=True, kw_only=True)
class SessionComparison(Model):
    """Two brews of one brewer side by side, and what of it is real."""

    session_id: str
    other_id: str
    figures: tuple[Compared, ...]
    detail: str


@dataclass(frozen=True, kw_only=True)
class Stand(Model):
    """A constant as it stands: its mean and its 80 % interval."""

    mean: Amount
    low_80: Amount
    high_80: Amount


@dataclass(frozen=True, kw_only=True)
class Moved(Model):
    """A constant of a setup before a brew was counted and after."""

    name: str
    before: Stand
    after: Stand


@dataclass(frozen=True, kw_only=True)
class ForecastMoved(Model):
    """A beer of one grain load, as it was forecast before a brew was counted and after."""

    grain_load_kg_per_l: float
    before: Forecast
    after: Forecast
    gravity_before: Quantity
    gravity_after: Quantity
    points: float


@dataclass(frozen=True, kw_only=True)
class Lesson(Model):
    """What changed in what is known of a setup when a brew was counted."""

    session_id: str
    number_before: int
    number_after: int
    preboil_volume: Quantity
    constants: tuple[Moved, ...]
    usual: ForecastMoved
    strong: ForecastMoved
    detail: str
