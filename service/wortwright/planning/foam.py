"""Room for the foam of a fermentation, by gravity and yeast; common practice, no source.

A brewer says of a fermenter how much of it stays free above an ordinary beer. Strong wort foams
higher, and so do yeasts that are cropped from the top and those of wheat beers; lager yeasts
work below and foam little. A recipe tells its yeast by name, so the name is what is read.
"""

from wortwright.records.recipe import Yeast
from wortwright.records.setup import Vessel

ORDINARY_GRAVITY, STRONG_GRAVITY = 1.050, 1.090
STRONG = 1.5
"""Foam of a strong wort as a multiple of that of an ordinary one, rising evenly in between."""

HIGH, LOW = 1.4, 0.6
"""Foam of yeasts that foam high or low, as a multiple of that of an ordinary ale yeast."""

_FOAM_HIGH = ("wheat", "weizen", "weiss", "weiß", "witbier", "top-crop", "top crop", "kveik")
_FOAM_LOW = ("lager", "pils", "helles", "bock", "märzen", "marzen")

MOST_OF_A_FERMENTER = 0.5
"""More stays free only where the brewer says so."""


def foam_of(original_gravity: float, yeast: Yeast | None) -> float:
    """How high a wort foams.

    Parameters
    ----------
    original_gravity : float
        Gravity of the wort. [SG]
    yeast : Yeast or None
        A name that tells nothing, or none, is taken for an ordinary ale yeast.

    Returns
    -------
    float
        As a multiple of the foam of an ordinary wort with an ordinary yeast.
    """
    strength = (original_gravity - ORDINARY_GRAVITY) / (STRONG_GRAVITY - ORDINARY_GRAVITY)
    by_gravity = 1.0 + (STRONG - 1.0) * min(max(strength, 0.0), 1.0)
    name = "" if yeast is None else yeast.name.casefold()
    if any(word in name for word in _FOAM_HIGH):
        return by_gravity * HIGH
    return by_gravity * (LOW if any(word in name for word in _FOAM_LOW) else 1.0)


def usable_l(fermenter: Vessel, foam: float) -> float:
    """What a fermenter takes below so much foam.

    Parameters
    ----------
    fermenter : Vessel
        With the room that its brewer leaves above an ordinary beer.
    foam : float
        As `foam_of` gives it.

    Returns
    -------
    float
        Wort. [L]
    """
    own = fermenter.foam_room
    free = min(own * foam, max(own, MOST_OF_A_FERMENTER))
    return fermenter.capacity_l * (1.0 - free)
