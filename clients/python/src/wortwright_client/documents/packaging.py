"""Priming sugar, safe bottles and kegs."""

from typing import Literal, Required, TypeAlias, TypedDict

from wortwright_client.documents.amounts import Amount, Gravity
from wortwright_client.documents.fermentation import FermentationDocument

Sugar: TypeAlias = Literal["sucrose", "glucose", "glucose_monohydrate", "dry_malt_extract"]


class BottlingDocument(TypedDict, total=False):
    """Beer to be bottled, its gravity now, and where it will stop.

    Give ``gravity`` and ``expected_final_gravity``, with ``lowest_final_gravity`` if it could
    come lower; or give the ``fermentation``, which tells them all and the ``alcohol``. ``aged``
    and ``alcohol`` tell whether its own yeast will do.
    """

    carbonation: Required[Amount]
    highest_temperature: Required[Amount]
    sugar: Sugar
    bottle: Required[
        Literal[
            "standard",
            "heavy",
            "champagne",
            "pet",
            "twist_off",
            "wine_bottle",
            "jar_or_jug",
            "glass_carboy",
        ]
    ]
    store_temperature: Amount
    volume: Required[Amount]
    gravity: Gravity | None
    expected_final_gravity: Gravity | None
    lowest_final_gravity: Gravity | None
    fermentation: FermentationDocument | None
    aged: Amount
    alcohol: Amount
    fined_or_filtered: bool


class KegPressureDocument(TypedDict, total=False):
    """The carbonation wanted or the pressure held, by gauge, and the temperature of the beer."""

    temperature: Required[Amount]
    carbonation: Amount | None
    pressure: Amount | None


class PrimingDocument(TypedDict, total=False):
    """Beer to be primed, that has finished: the volume truly primed, not the batch.

    ``highest_temperature`` is the highest since fermentation quieted, whatever it is now;
    ``pressure`` what was held then, by gauge.
    """

    carbonation: Required[Amount]
    highest_temperature: Required[Amount]
    sugar: Sugar
    volume: Required[Amount]
    pressure: Amount


class PlannedPackagingDocument(TypedDict, total=False):
    """The bottles a brew is planned for; beer and gravity are the plan's.

    ``highest_temperature`` is the highest that the beer will have seen when fermentation
    quiets, ``store_temperature`` the warmest place the bottles will stand in.
    """

    carbonation: Required[Amount]
    highest_temperature: Required[Amount]
    sugar: Sugar
    bottle: Required[
        Literal[
            "standard",
            "heavy",
            "champagne",
            "pet",
            "twist_off",
            "wine_bottle",
            "jar_or_jug",
            "glass_carboy",
        ]
    ]
    store_temperature: Amount
