"""The water, the salts and the wishes that a treatment starts from."""

from dataclasses import dataclass

from wortwright.brewing.ions import Water
from wortwright.brewing.salt_doses import TOLERANCE
from wortwright.brewing.water_targets import IonTarget, Wish, balance_wishes, ion_wishes
from wortwright.brewing.water_treatment import SCALE_STEP_G


@dataclass(frozen=True, slots=True)
class Balance:
    """A water wanted by its taste and by what it leaves the mash to overcome."""

    sulfate_to_chloride: float
    residual_alkalinity_meq_l: float


@dataclass(frozen=True, slots=True)
class WaterAtHand:
    """The waters and salts there are, and what is wanted; with no target nothing is added.

    ``salts`` names each by its key; ``dilution`` is reverse-osmosis water or the like, if any.
    """

    source: Water
    salts: tuple[str, ...] = ()
    dilution: Water | None = None
    ions: IonTarget | None = None
    balance: Balance | None = None
    tolerance: float = TOLERANCE
    scale_step_g: float = SCALE_STEP_G
    from_private_well: bool = False

    @property
    def wishes(self) -> tuple[Wish, ...]:
        """What is wanted, as rows of a linear problem."""
        if self.ions is not None:
            return ion_wishes(self.ions)
        if self.balance is None:
            return ()
        return balance_wishes(
            self.balance.sulfate_to_chloride, self.balance.residual_alkalinity_meq_l
        )
