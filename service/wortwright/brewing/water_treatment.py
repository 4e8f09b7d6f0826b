"""Treating a brew's water: what to weigh for mash and sparge, and what each ion comes to."""

from dataclasses import dataclass

from wortwright.brewing.errors import require_between, require_positive
from wortwright.brewing.ions import CONTENTS, PURE_WATER, Water, charge_imbalance_percent
from wortwright.brewing.salt_doses import TOLERANCE, Doses, doses_for, treat
from wortwright.brewing.salts import brought_by_g_per_l
from wortwright.brewing.tables.salts import Salt
from wortwright.brewing.water_targets import IonTarget, Wish

SCALE_STEP_G = 0.1


@dataclass(frozen=True, slots=True)
class BrewingWater:
    """Volumes of water for the mash and for sparging [L]."""

    mash_l: float
    sparge_l: float = 0.0


@dataclass(frozen=True, slots=True)
class SaltDose:
    """One salt: exact masses, and what the scale can do [g]."""

    salt: Salt
    exact_mash_g: float
    exact_sparge_g: float
    mash_g: float
    sparge_g: float


@dataclass(frozen=True, slots=True)
class IonAccount:
    """Where one content of the mash water comes from, per litre of it.

    Ions [mg/L], alkalinity [meq/L]; ``by_salt`` names each salt's part.
    """

    content: str
    in_source: float
    from_water: float
    by_salt: tuple[tuple[str, float], ...]
    in_mash: float


@dataclass(frozen=True, slots=True)
class Treatment:
    """Doses for a brew; waters are those of the masses weighed.

    ``source_l`` and ``dilution_l`` are the waters to mix for mash plus sparge [L];
    ``imbalance_percent`` is that of the source's charges.
    """

    doses: tuple[SaltDose, ...]
    kept_share: float
    source_l: float
    dilution_l: float
    mash_water: Water
    sparge_water: Water
    miss: float
    reached: bool
    imbalance_percent: float
    account: tuple[IonAccount, ...]


def target_imbalance_percent(target: IonTarget) -> float | None:
    """Charge imbalance of a target, which no salts can make good.

    Parameters
    ----------
    target : IonTarget
        The ions wanted.

    Returns
    -------
    float or None
        100 (cations - anions) / (cations + anions) [%]; None unless calcium, magnesium,
        sodium, chloride, sulfate and alkalinity are all named.
    """
    wanted = {name: getattr(target, name) for name in CONTENTS}
    if any(wanted[name] is None for name in CONTENTS if name not in _MAY_BE_LEFT_OUT):
        return None
    return charge_imbalance_percent(Water(**{name: value or 0.0 for name, value in wanted.items()}))


def treatment_for(
    source: Water,
    volumes: BrewingWater,
    wishes: tuple[Wish, ...],
    salts: tuple[Salt, ...] = (),
    dilution: Water | None = None,
    tolerance: float = TOLERANCE,
    scale_step_g: float = SCALE_STEP_G,
) -> Treatment:
    """Salts and dilution for a brew.

    Both waters are diluted alike and get the same salts per litre, but salts that bring
    alkalinity go into the mash only: alkaline sparge water draws tannin (common practice).

    Parameters
    ----------
    source : Water
        The brewer's water.
    volumes : BrewingWater
        Mash water above 0, sparge water 0 or more [L].
    wishes : tuple of Wish
        What is wanted of the mash water; none leaves the water as it is.
    salts : tuple of Salt
        The salts at hand.
    dilution : Water or None
        Reverse-osmosis water at hand (`PURE_WATER`, or its report), or None.
    tolerance : float
        Root mean square relative miss that counts as reached [-], 0 to 1.
    scale_step_g : float
        Smallest step of the scale [g], 0.001 to 10.

    Returns
    -------
    Treatment
        Masses to weigh, waters they make, and where each ion comes from.

    Raises
    ------
    UnknownSaltError
        For a salt that acts in the mash only.
    OutOfRangeError
        For volumes, tolerance or step outside the range.
    """
    require_positive("mash water", volumes.mash_l, "L")
    require_between("sparge water", volumes.sparge_l, 0.0, 10_000.0, "L")
    require_between("scale step", scale_step_g, 0.001, 10.0, "g")
    solved = doses_for(source, wishes, salts, dilution, tolerance)
    doses = tuple(
        _salt_dose(salt, dose, volumes, scale_step_g)
        for salt, dose in zip(salts, solved.salts_g_per_l, strict=True)
    )
    total_l = volumes.mash_l + volumes.sparge_l
    in_mash = tuple((dose.salt, dose.mash_g / volumes.mash_l) for dose in doses)
    return Treatment(
        doses=doses,
        kept_share=solved.kept_share,
        source_l=solved.kept_share * total_l,
        dilution_l=(1.0 - solved.kept_share) * total_l,
        mash_water=_water(source, solved, dilution, in_mash),
        sparge_water=_water(source, solved, dilution, _in_sparge(doses, volumes.sparge_l)),
        miss=solved.miss,
        reached=solved.reached,
        imbalance_percent=charge_imbalance_percent(source),
        account=ion_account(source, dilution or PURE_WATER, solved.kept_share, in_mash),
    )


def ion_account(
    source: Water, dilution: Water, kept_share: float, doses: tuple[tuple[Salt, float], ...]
) -> tuple[IonAccount, ...]:
    """Where each content of a treated water comes from.

    Parameters
    ----------
    source, dilution : Water
        The source water and what replaces part of it.
    kept_share : float
        Share of source water [fraction], 0 to 1.
    doses : tuple of (Salt, float)
        Salts and their doses [g/L].

    Returns
    -------
    tuple of IonAccount
        One a content: in the source, in the mixed water, by each salt, in the mash.

    Raises
    ------
    OutOfRangeError
        For a share outside 0 to 1.
    """
    mixed = treat(source, dilution, kept_share, ())
    treated = treat(source, dilution, kept_share, doses)
    return tuple(
        IonAccount(
            content=name,
            in_source=getattr(source, name),
            from_water=getattr(mixed, name),
            by_salt=tuple(
                (salt.key, dose * getattr(brought_by_g_per_l(salt), name)) for salt, dose in doses
            ),
            in_mash=getattr(treated, name),
        )
        for name in CONTENTS
    )


_MAY_BE_LEFT_OUT = ("potassium_mg_l", "nitrate_mg_l")


def _salt_dose(salt: Salt, dose_g_per_l: float, volumes: BrewingWater, step_g: float) -> SaltDose:
    alkaline = brought_by_g_per_l(salt).alkalinity_meq_l > 0.0
    mash_g = dose_g_per_l * volumes.mash_l
    sparge_g = 0.0 if alkaline else dose_g_per_l * volumes.sparge_l
    return SaltDose(
        salt=salt,
        exact_mash_g=mash_g,
        exact_sparge_g=sparge_g,
        mash_g=_weighed(mash_g, step_g),
        sparge_g=_weighed(sparge_g, step_g),
    )


def _weighed(mass_g: float, step_g: float) -> float:
    return round(round(mass_g / step_g) * step_g, 6)


def _in_sparge(doses: tuple[SaltDose, ...], sparge_l: float) -> tuple[tuple[Salt, float], ...]:
    if sparge_l == 0.0:
        return ()
    return tuple((dose.salt, dose.sparge_g / sparge_l) for dose in doses)


def _water(
    source: Water,
    solved: Doses,
    dilution: Water | None,
    doses: tuple[tuple[Salt, float], ...],
) -> Water:
    return treat(source, dilution or PURE_WATER, solved.kept_share, doses)
