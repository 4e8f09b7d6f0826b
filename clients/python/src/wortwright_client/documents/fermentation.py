"""Attenuation, alcohol, and whether a beer has finished."""

from collections.abc import Sequence
from typing import Literal, Required, TypedDict

from wortwright_client.documents.amounts import Amount, Gravity


class FermentingYeastDocument(TypedDict, total=False):
    """The yeast: its class of attenuation, or what its maker states."""

    yeast_class: Literal["low", "medium", "high", "very_high", "diastatic"] | None
    apparent_attenuation: Amount | None


class ReadGravityDocument(TypedDict, total=False):
    """A hydrometer reading, how long after pitching; a refractometer does not do."""

    after: Required[Amount]
    gravity: Required[Gravity]
    temperature: Amount


class FermentationDocument(TypedDict, total=False):
    """A wort, its yeast, and what was read since.

    ``sugar_share`` is the part of the extract that is simple sugar, ``mash_temperature`` that
    of the main rest.
    """

    original_gravity: Required[Gravity]
    yeast: FermentingYeastDocument
    mash_temperature: Amount | None
    sugar_share: Amount
    readings: Sequence[ReadGravityDocument]


class WortPairDocument(TypedDict):
    """One unfermented wort, read with both instruments."""

    reading: Amount
    gravity: Gravity


class RefractometerReadingDocument(TypedDict, total=False):
    """A reading, corrected for temperature by the instrument or at 20 degC.

    Of fermenting beer also the reading before fermentation, ``original_reading``. The
    correction factor is reading over true extract; ``pairs`` teach it where it is not said.
    """

    correction_factor: float | None
    pairs: Sequence[WortPairDocument]
    reading: Required[Amount]
    original_reading: Amount | None
