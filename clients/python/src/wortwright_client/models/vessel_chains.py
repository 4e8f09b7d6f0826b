"""From the beer wanted in bottles back to the brews; and the small beer of the spent grain."""

from dataclasses import dataclass

from wortwright_client._reading import Model
from wortwright_client.models.findings import Doubt
from wortwright_client.models.plans import Plan
from wortwright_client.quantities import Forecast, Quantity


@dataclass(frozen=True, kw_only=True)
class AgeingFill(Model):
    """One ageing vessel: the beer in it, and the oxygen of the air above it if all dissolves.

    ``oxygen`` is per litre of the beer in that vessel.
    """

    vessel: str
    capacity: Quantity
    beer: Quantity
    head_space: Quantity
    oxygen: Quantity


@dataclass(frozen=True, kw_only=True)
class ChainStep(Model):
    """Volume at one place of the chain, of all brews, and what stays behind there."""

    at: str
    volume: Quantity
    left_behind: Quantity


@dataclass(frozen=True, kw_only=True)
class VesselChain(Model):
    """The whole chain: so many equal ``brews``, each by ``plan``.

    ``surplus`` is brewed beyond what was wanted so that every ageing vessel is full to the neck;
    ``part_filled`` is what the vessels would be without it.
    """

    packaged: Quantity
    brews: int
    plan: Plan
    ageing: tuple[AgeingFill, ...]
    part_filled: tuple[AgeingFill, ...]
    steps: tuple[ChainStep, ...]
    surplus: Quantity
    left_behind: Quantity
    warnings: tuple[Doubt, ...]


@dataclass(frozen=True, kw_only=True)
class SmallBeer(Model):
    """Wort from rinsing the drained grain, stirred up once and drained again.

    ``extract`` is what is rinsed out, ``left`` what stays in the grain even then.
    """

    rinse: Quantity
    preboil: Quantity
    preboil_gravity: Forecast
    boil_time: Quantity
    postboil: Quantity
    original_gravity: Forecast
    extract: Quantity
    left: Quantity
