"""What the sessions say of a setup: the data classes that are stored and passed on."""

from dataclasses import dataclass, field
from datetime import date

from wortwright.calibration.attenuation import AttenuationPosterior
from wortwright.records.sentence import Said
from wortwright.records.setup import LauterMethod

MODEL_VERSION = 3
"""Raised when a refit of the same sessions would give other numbers."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """One constant of a setup: now, before any session, and how many sessions spoke of it."""

    mean: float
    sd: float
    prior_mean: float
    prior_sd: float
    session_count: int = 0


@dataclass(frozen=True, slots=True)
class MashPlan:
    """A mash not yet made.

    ``grain_kg`` is mashed, ``extract_yield`` its mean yield as weighed [kg/kg], ``preboil_l``
    the wort wanted before the boil at 20 degC. Without ``strike_water_l`` the strike water is
    what the lauter method usually takes.
    """

    grain_kg: float
    extract_yield: float
    preboil_l: float
    strike_water_l: float | None = None

    @property
    def grain_load_kg_per_l(self) -> float:
        """Grain per litre of pre-boil wort. [kg/L]"""
        return self.grain_kg / self.preboil_l

    @property
    def potential_kg_per_l(self) -> float:
        """Extract that the grain could give per litre of pre-boil wort. [kg/L]"""
        return self.grain_kg * self.extract_yield / self.preboil_l


@dataclass(frozen=True, slots=True)
class EfficiencyPosterior:
    """The efficiency curve of a setup: physical parameters, their covariance, the scatter.

    ``names`` labels ``mean`` and both axes of ``covariance``. ``brew_log_sd`` is the scatter
    of mash efficiency from brew to brew and from lot to lot of malt.
    """

    method: LauterMethod
    runnings: int
    names: tuple[str, ...]
    mean: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    brew_log_sd: float


@dataclass(frozen=True, slots=True)
class SeenRange:
    """The least and most that the sessions tried; a forecast outside it extrapolates."""

    grain_load_kg_per_l: tuple[float, float]
    potential_kg_per_l: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Finding:
    """A session that the curve does not believe in full: its weight (1 is full) and why."""

    session_id: str
    weight: float
    reason: Said


@dataclass(frozen=True, slots=True)
class SuspectedChange:
    """A change of the setup that nobody wrote down: since which brew, and how large it looks.

    ``constant`` is what seems to have changed, ``efficiency_change`` what that does to mash
    efficiency [fraction], ``evidence`` how many times likelier the change makes the brews than
    mere luck.
    """

    session_id: str
    on: date
    constant: str
    efficiency_change: float
    efficiency_change_sd: float
    evidence: float


@dataclass(frozen=True, slots=True)
class OwnWord:
    """What the sessions of one setup alone say of its constants, in standard scores.

    From the usual prior and these sessions: mean and variance of each constant.
    """

    mean: tuple[float, ...]
    variance: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Calibration:
    """Everything a setup has learnt; plain values, so that it is stored as JSON.

    ``suspected`` changes count as changes until the brewer says otherwise. ``own_word`` is
    what a setup that shares with its club says there.

    ``average_efficiency`` is the plain mean of the mash efficiencies computed from past
    sessions: what a brewer without this curve would assume; None without sessions.
    """

    efficiency: EfficiencyPosterior
    constants: dict[str, Estimate]
    session_count: int = 0
    average_efficiency: float | None = None
    seen: SeenRange | None = None
    findings: tuple[Finding, ...] = field(default=())
    suspected: tuple[SuspectedChange, ...] = field(default=())
    own_word: OwnWord | None = None
    attenuation: AttenuationPosterior = field(default_factory=AttenuationPosterior)
    model_version: int = MODEL_VERSION
