"""Salts by exact formula: what a gram of each brings to a litre of water."""

from functools import cache

from wortwright.brewing.ions import CHARGE, MOLAR_MASS_G_PER_MOL, Water
from wortwright.brewing.tables.salts import Salt, refused_salts, salts

_BASES = ("bicarbonate", "carbonate", "hydroxide")


class UnknownSaltError(ValueError):
    """A name or formula that is not one exact salt a brewer may use.

    Parameters
    ----------
    name : str
        What was asked for.
    reason : str
        Why it is refused, in words for a person.
    """

    def __init__(self, name: str, reason: str) -> None:
        super().__init__(f"{name!r} is refused: {reason}")
        self.name = name
        self.reason = reason


def salt(name: str) -> Salt:
    """Look a salt up by key, name or formula; nothing is guessed.

    Parameters
    ----------
    name : str
        ``"gypsum"``, ``"calcium chloride dihydrate"``, ``"CaCl2.2H2O"``. A formula is
        matched with its capitals; a middle dot or ``*`` may stand for the full stop.

    Returns
    -------
    Salt
        The one salt meant.

    Raises
    ------
    UnknownSaltError
        If the name fits no salt, leaves the hydration open, or names what must not be used.
    """
    found = _by_name().get(_plain(name)) or _by_formula().get(_plain_formula(name))
    if found is None:
        raise UnknownSaltError(name, _reason(name))
    return found


def molar_mass_g_per_mol(of: Salt) -> float:
    """Molar mass of a salt with its water of crystallisation.

    Parameters
    ----------
    of : Salt
        The salt.

    Returns
    -------
    float
        Molar mass [g/mol].
    """
    return sum(count * MOLAR_MASS_G_PER_MOL[ion] for ion, count in of.ions)


@cache
def brought_by_g_per_l(of: Salt) -> Water:
    """Count what one gram of a pure salt brings to one litre.

    Parameters
    ----------
    of : Salt
        The salt.

    Returns
    -------
    Water
        Ions [mg/L] and alkalinity [meq/L], everything dissolved.

    Notes
    -----
    Stoichiometry of the formula unit. Chalk and lime give less than this in a mash.
    """
    mmol_per_l = 1000.0 / molar_mass_g_per_mol(of)
    contents = {
        f"{ion}_mg_l": mmol_per_l * count * MOLAR_MASS_G_PER_MOL[ion]
        for ion, count in of.ions
        if ion not in _BASES and ion != "water"
    }
    alkalinity = mmol_per_l * sum(
        count * abs(CHARGE[ion]) for ion, count in of.ions if ion in _BASES
    )
    return Water(**contents, alkalinity_meq_l=alkalinity)


def _plain(name: str) -> str:
    return " ".join(name.replace("_", " ").replace(",", " ").lower().split())


def _plain_formula(name: str) -> str:
    return name.strip().replace("\N{MIDDLE DOT}", ".").replace("*", ".").replace(" ", "")


@cache
def _by_name() -> dict[str, Salt]:
    return {_plain(name): each for each in salts() for name in (each.key, *each.also_called)}


@cache
def _by_formula() -> dict[str, Salt]:
    return {each.formula: each for each in salts()}


def _reason(name: str) -> str:
    asked = {name.strip(), _plain(name)}
    for refused, reason in refused_salts():
        if refused in asked:
            return reason
    return "it is not one of the salts known by exact formula"
