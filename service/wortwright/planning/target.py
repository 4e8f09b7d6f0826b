"""What the brewer asks for."""

from dataclasses import dataclass, field
from enum import StrEnum

from wortwright.brewing.hops import UtilisationModel
from wortwright.planning.limits import Limits
from wortwright.records.recipe import VolumeAt
from wortwright.records.sentence import Said


class GristPolicy(StrEnum):
    """How a change of efficiency is taken up.

    ``keep_shares``: all malts scale together. ``keep_character``: character malts hold their
    mass per volume and base malt takes up the difference.
    """

    KEEP_SHARES = "keep_shares"
    KEEP_CHARACTER = "keep_character"


class WeighIn(StrEnum):
    """What the brewer's scale shows; decides the steps that ``to_weigh`` is rounded to."""

    METRIC = "metric"
    US = "us"


class TargetError(ValueError):
    """A target that cannot be met by any brew; ``field`` names the part of it."""

    def __init__(self, field: str, detail: Said) -> None:
        super().__init__(detail)
        self.field = field
        self.detail = detail


@dataclass(frozen=True, slots=True)
class Target:
    """The beer wanted; gravity, bitterness and volume default to the recipe's own."""

    volume_l: float | None = None
    volume_at: VolumeAt | None = None
    gravity: float | None = None
    bitterness_ibu: float | None = None


@dataclass(frozen=True, slots=True)
class Preferences:
    """How the brewer wants it; ``limits`` hold for the ways out of what does not fit."""

    grist_policy: GristPolicy = GristPolicy.KEEP_CHARACTER
    bitterness_formula: UtilisationModel = UtilisationModel.TINSETH
    weigh_in: WeighIn = WeighIn.METRIC
    grain_temperature_c: float = 20.0
    limits: Limits = field(default_factory=Limits)
