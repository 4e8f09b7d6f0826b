"""One table of cautions: what can hurt a person, and what is usually done about it.

The advice is common practice and no substitute for local codes, the labels of products and
vessels, or licensed trades.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Caution:
    """A harm to a person: a stable code, what can happen, what to do."""

    code: str
    hazard: str
    advice: str


_TABLE = (
    Caution(
        "boil_over",
        "A full kettle foams over at the hot break and when hops go in.",
        "Keep at least a fifth of the kettle free, stay beside it, cut the heat when foam rises.",
    ),
    Caution(
        "scald",
        "Mash, wort and steam burn within a second or two.",
        "Closed shoes, gloves, long sleeves; never carry a full hot kettle; children and pets "
        "away; electric kettles on a socket with residual-current protection.",
    ),
    Caution(
        "wet_bag",
        "A bag just lifted weighs two to three times its dry grain and drips scalding wort.",
        "Above 10 kg use a hoist or a second person, rated for at least three times the dry "
        "grain; let it drain; no bare hands, never over the head.",
    ),
    Caution(
        "gas_burner",
        "Burners make carbon monoxide, which has no smell; gas collects in low places.",
        "Outdoors only, on level ground, away from cellars; follow the burner's label and local "
        "codes; gas lines are work for a licensed fitter.",
    ),
    Caution(
        "fermentation_gas",
        "Fermentation gives off hundreds of litres of carbon dioxide; in a closed room it kills.",
        "Ventilate cellars and cupboards; never lean into a tank; an alarm where cylinders stand.",
    ),
    Caution(
        "sealed_vessel",
        "Beer that still ferments or warms up bursts a sealed vessel.",
        "Ageing vessels full to the neck under an airlock, never stoppered.",
    ),
    Caution(
        "strong_drink",
        "This beer is much stronger than usual and does not taste like it.",
        "Small glasses, never before driving; check what local law says of brewing at home.",
    ),
)

_BY_CODE = {row.code: row for row in _TABLE}


def caution(code: str) -> Caution:
    """Return the caution of that code.

    Raises
    ------
    KeyError
        If the table holds no such code.
    """
    return _BY_CODE[code]
