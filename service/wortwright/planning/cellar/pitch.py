"""Yeast for a wort: cells wanted, what there is, what too few would mean, starter and oxygen."""

from dataclasses import dataclass

from wortwright.brewing.oxygen import OxygenWanted, oxygen_wanted
from wortwright.brewing.repitching import (
    cake_cells,
    cake_is_tired,
    slurry_ml,
    slurry_viable_share,
)
from wortwright.brewing.starter import StarterMethod, StarterStep, starter_steps
from wortwright.brewing.tables.yeast import YeastKind
from wortwright.brewing.yeast import (
    DRY_CELLS_PER_G,
    RISK_SENTENCE,
    PacketChoice,
    PitchRisk,
    cells_wanted,
    dry_packets,
    liquid_viable_share,
    pitch_rate_million_per_ml_plato,
    pitch_risk,
)
from wortwright.planning.cautions import Caution, caution
from wortwright.planning.cellar.pitch_doubts import (
    of_cake,
    of_kind,
    of_oxygen,
    of_share,
    of_starter,
)
from wortwright.planning.plan import Finding
from wortwright.records.sentence import Said, in_a_row, in_percent, litres, say

COOL_ALE_C, WARM_LAGER_C = 16.0, 15.0
"""An ale pitched cooler, or a lager pitched warmer, wants the cells of a hybrid (common
practice)."""

_HAIR = 1e-6


@dataclass(frozen=True, slots=True)
class DryYeast:
    """Packets of dry yeast; without ``packets`` as many as hold the cells wanted."""

    packet_g: float = 11.5
    packets: int | None = None
    cells_per_g: float = DRY_CELLS_PER_G


@dataclass(frozen=True, slots=True)
class LiquidYeast:
    """Packs of liquid yeast kept cold, and their age."""

    age_days: float
    packs: int = 1
    cells_per_pack: float = 1e11


@dataclass(frozen=True, slots=True)
class Slurry:
    """Settled slurry from an earlier session; without a volume as much as is wanted."""

    age_days: float
    volume_ml: float | None = None


@dataclass(frozen=True, slots=True)
class Cake:
    """The cake of an earlier session, told by the beer that it came from."""

    age_days: float
    fermented_l: float
    original_gravity: float
    final_gravity: float


@dataclass(frozen=True, slots=True)
class YeastAtHand:
    """The yeast of a brew: its kind, how warm it is pitched, and at most one form of it.

    ``starter`` is the method of a starter, where one may be made.
    """

    kind: YeastKind
    temperature_c: float
    dry: DryYeast | None = None
    liquid: LiquidYeast | None = None
    slurry: Slurry | None = None
    cake: Cake | None = None
    starter: StarterMethod | None = None


@dataclass(frozen=True, slots=True)
class YeastPitched:
    """What is pitched, the cells it holds, and what that share of the cells wanted means.

    ``packets`` (or packs), ``slurry_ml`` or ``cake_share`` tells how much, as the form goes.
    """

    form: str
    viable_cells: float
    viable_share: float | None
    share_of_wanted: float
    risk: PitchRisk
    meaning: str
    packets: int | None = None
    slurry_ml: float | None = None
    cake_share: float | None = None


@dataclass(frozen=True, slots=True)
class Pitch:
    """Cells for a wort, and the yeast for them."""

    summary: Said
    counted_as: YeastKind
    rate_million_per_ml_plato: float
    cells_wanted: float
    pitched: YeastPitched | None
    packet_choices: tuple[PacketChoice, ...]
    starter: tuple[StarterStep, ...]
    oxygen: OxygenWanted
    warnings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]


def plan_pitch(volume_l: float, original_gravity: float, yeast: YeastAtHand) -> Pitch:
    """Plan the pitching of a wort.

    Parameters
    ----------
    volume_l : float
        Wort in the fermenter. [L]
    original_gravity : float
        Its gravity, 1.000 to 1.190. [SG]
    yeast : YeastAtHand
        Kind, temperature and what there is.

    Returns
    -------
    Pitch
        Cells wanted, what the yeast at hand means, starter steps, oxygen.

    Raises
    ------
    OutOfRangeError
        For values outside their range.
    """
    counted_as = _kind_at(yeast.kind, yeast.temperature_c)
    rate = pitch_rate_million_per_ml_plato(counted_as, original_gravity)
    wanted = cells_wanted(volume_l, original_gravity, rate)
    choices = _packet_choices(wanted, yeast.dry)
    pitched = _pitched(wanted, choices, yeast)
    steps = _starter(pitched, wanted, yeast.starter)
    oxygen = oxygen_wanted(
        counted_as, original_gravity, yeast.temperature_c, first_pitch_dry=yeast.dry is not None
    )
    tired = yeast.cake is not None and cake_is_tired(
        yeast.cake.original_gravity, yeast.cake.final_gravity
    )
    return Pitch(
        summary=_summary(wanted, pitched, steps),
        counted_as=counted_as,
        rate_million_per_ml_plato=rate,
        cells_wanted=wanted,
        pitched=pitched,
        packet_choices=choices,
        starter=steps,
        oxygen=oxygen,
        warnings=(
            *of_kind(yeast.kind, counted_as),
            *of_cake(tired=tired),
            *([] if pitched is None or steps else of_share(pitched.risk, pitched.meaning)),
            *of_starter(steps, volume_l),
            *of_oxygen(oxygen),
        ),
        cautions=(caution("fermentation_gas"),),
    )


def _kind_at(kind: YeastKind, temperature_c: float) -> YeastKind:
    cool_ale = kind is YeastKind.ALE and temperature_c < COOL_ALE_C
    warm_lager = kind is YeastKind.LAGER and temperature_c > WARM_LAGER_C
    return YeastKind.HYBRID if cool_ale or warm_lager else kind


def _packet_choices(wanted: float, dry: DryYeast | None) -> tuple[PacketChoice, ...]:
    return () if dry is None else dry_packets(wanted, dry.packet_g, dry.cells_per_g)


def _pitched(
    wanted: float, choices: tuple[PacketChoice, ...], yeast: YeastAtHand
) -> YeastPitched | None:
    if yeast.dry is not None:
        packets = yeast.dry.packets or choices[-1].packets
        cells = packets * yeast.dry.packet_g * yeast.dry.cells_per_g
        return _judged("dry", cells, wanted, packets=packets)
    if yeast.liquid is not None:
        share = liquid_viable_share(yeast.liquid.age_days)
        cells = yeast.liquid.packs * yeast.liquid.cells_per_pack * share
        return _judged("liquid", cells, wanted, share, packets=yeast.liquid.packs)
    if yeast.slurry is not None:
        enough_ml = slurry_ml(wanted, yeast.slurry.age_days)
        volume_ml = yeast.slurry.volume_ml or enough_ml
        share = slurry_viable_share(yeast.slurry.age_days)
        cells = wanted * volume_ml / enough_ml
        return _judged("slurry", cells, wanted, share, slurry_ml=volume_ml)
    return None if yeast.cake is None else _of_cake(wanted, yeast.cake)


def _of_cake(wanted: float, cake: Cake) -> YeastPitched:
    cells = cake_cells(cake.fermented_l, cake.original_gravity, cake.final_gravity, cake.age_days)
    to_pitch = min(1.0, wanted / cells)
    return _judged(
        "cake",
        cells * to_pitch,
        wanted,
        slurry_viable_share(cake.age_days),
        cake_share=to_pitch,
    )


def _judged(
    form: str,
    cells: float,
    wanted: float,
    viable_share: float | None = None,
    *,
    packets: int | None = None,
    slurry_ml: float | None = None,
    cake_share: float | None = None,
) -> YeastPitched:
    share = cells / wanted
    risk = pitch_risk(share)
    return YeastPitched(
        form=form,
        viable_cells=cells,
        viable_share=viable_share,
        share_of_wanted=share,
        risk=risk,
        meaning=RISK_SENTENCE[risk],
        packets=packets,
        slurry_ml=slurry_ml,
        cake_share=cake_share,
    )


def _starter(
    pitched: YeastPitched | None, wanted: float, method: StarterMethod | None
) -> tuple[StarterStep, ...]:
    # What was measured out to be enough is enough, whatever the last bit of a float says.
    if pitched is None or method is None or pitched.share_of_wanted > 1.0 - _HAIR:
        return ()
    return starter_steps(pitched.viable_cells, wanted, method)


def _summary(wanted: float, pitched: YeastPitched | None, steps: tuple[StarterStep, ...]) -> Said:
    said = f"This wort wants {wanted / 1e9:.0f} billion viable cells"
    if pitched is None:
        return f"{said}."
    amounts = {
        "dry": f"{pitched.packets} whole packets" if pitched.packets != 1 else "one packet",
        "liquid": f"{pitched.packets} packs" if pitched.packets != 1 else "one pack",
        "slurry": f"{pitched.slurry_ml or 0.0:.0f} mL of slurry",
        "cake": f"{in_percent(pitched.cake_share or 0.0)} of the cake",
    }
    held = f"{said}; {in_percent(pitched.share_of_wanted)} of that is in {amounts[pitched.form]}"
    if steps:
        volumes = in_a_row(tuple(litres(step.volume_l) for step in steps), ", then ")
        return say("{held}, and a starter of {volumes} grows the rest.", held=held, volumes=volumes)
    return f"{held}. {pitched.meaning}"
