"""What an answer warns of."""

from dataclasses import dataclass

from wortwright_client._reading import Model


@dataclass(frozen=True, kw_only=True)
class Doubt(Model):
    """A doubt about a number."""

    code: str
    detail: str


@dataclass(frozen=True, kw_only=True)
class Caution(Model):
    """A harm to a person that can come of it."""

    code: str
    hazard: str
    advice: str
