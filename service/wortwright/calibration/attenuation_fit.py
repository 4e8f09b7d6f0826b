"""What the finished beers of a setup say of its attenuation."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from wortwright.brewing.alcohol import apparent_attenuation
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.gravity import extract_kg, gravity_of_wort, plato_from_gravity
from wortwright.brewing.mash_water import EXTRACT_VOLUME_L_PER_KG
from wortwright.brewing.refractometer import beer_gravity
from wortwright.calibration.attenuation import (
    BREW_SD,
    MASH,
    PER_DEGREE,
    SETUP,
    SETUP_SD,
    UNNAMED,
    UNSTATED_SD,
    AttenuationPosterior,
    Ferment,
    KnownYeast,
    by_the_book,
    key_of,
    main_rest_c,
    mash_degrees,
    sugar_share,
    variance_of,
)
from wortwright.calibration.corrected import Brew, CorrectedReadings
from wortwright.calibration.doubted_notes import of_beer
from wortwright.calibration.evidence import extract_added_kg
from wortwright.calibration.intervals import SCORE_80
from wortwright.calibration.linear import Row, learn
from wortwright.calibration.posterior import Estimate, Finding
from wortwright.calibration.priors import GRAVITY_SD
from wortwright.records.grist import AddedTo
from wortwright.records.session import Session, Stage

MASH_SD_C, UNKNOWN_MASH_SD_C = 0.5, 1.5
"""Error of a main rest, and spread of those of which no temperature was written down; common
practice, no source."""


MOST_MISSED_C = 3.0
"""Three standard deviations of what mash-ins miss; common practice, no source."""


class Beer(NamedTuple):
    """A finished beer: what fermented, how far with the error of the readings, trusted or not."""

    ferment: Ferment
    attained: float
    read_sd: float
    trusted: bool
    session_id: str


class Fermented(NamedTuple):
    """Posterior of the attenuation, and the sessions that it does not believe."""

    posterior: AttenuationPosterior
    findings: tuple[Finding, ...]


def fit_attenuation(brews: Sequence[Brew]) -> Fermented:
    """Learn from finished beers; without any it is the prior.

    Beers without a yeast are taken to have one in common, if less surely.
    """
    beers = [beer for brew in brews for beer in _beers_of(brew)]
    yeasts = _yeasts_of(beers)
    places = {key_of(yeast.name): place for place, yeast in enumerate(yeasts)}
    rows = [_row(beer, yeasts, places[_key(beer)]) for beer in beers]
    offsets = [(0.0, yeast.prior_sd) for yeast in yeasts]
    learnt = learn(((0.0, SETUP_SD), PER_DEGREE, *offsets), rows)
    posterior = AttenuationPosterior(
        yeasts,
        tuple(learnt.mean.tolist()),
        tuple(tuple(row) for row in learnt.covariance.tolist()),
        len(beers),
    )
    return Fermented(posterior, tuple(map(of_beer, learnt.doubts)))


def attenuation_constants(posterior: AttenuationPosterior) -> dict[str, Estimate]:
    """Offset of the setup and change per degree of the mash, as constants of the setup."""
    priors = {"attenuation_offset": (0.0, SETUP_SD), "attenuation_per_c": PER_DEGREE}
    return {
        name: Estimate(
            posterior.mean[place],
            math.sqrt(posterior.covariance[place][place]),
            *prior,
            posterior.session_count,
        )
        for place, (name, prior) in zip((SETUP, MASH), priors.items(), strict=True)
    }


def attenuation_by_yeast(posterior: AttenuationPosterior) -> list[tuple[str, Estimate]]:
    """Attenuation of each yeast here, in an ordinary wort mashed at the neutral temperature."""
    found = []
    for place, yeast in enumerate(posterior.yeasts, start=MASH + 1):
        if yeast.name == UNNAMED:
            continue
        slopes = [float(at in (SETUP, place)) for at in range(len(posterior.mean))]
        estimate = Estimate(
            yeast.expected + posterior.mean[SETUP] + posterior.mean[place],
            math.sqrt(variance_of(posterior, slopes)),
            yeast.expected,
            math.hypot(SETUP_SD, yeast.prior_sd),
            yeast.session_count,
        )
        found.append((yeast.name, estimate))
    return found


def _beers_of(brew: Brew) -> list[Beer]:
    """The beer of a session, if it says enough of it."""
    session_id, session, read = brew
    if not read.has(Stage.FINAL):
        return []
    in_fermenter = read.wort_gravity(Stage.FERMENTER)
    wort = read.wort_gravity(Stage.POST_BOIL) if math.isnan(in_fermenter) else in_fermenter
    added_kg = extract_added_kg(session, AddedTo.FERMENTER)
    try:
        original = _with_sugar(wort, read.volume_l(Stage.FERMENTER), added_kg)
        final, sd = _final(read, wort, original)
        if math.isnan(original + final) or final >= original:
            return []
        mash_c, sugar = _mash_c(session, read), sugar_share(session.grist)
        ferment = Ferment(original, mash_c, sugar, session.yeast)
        attained = apparent_attenuation(original, final)
    except OutOfRangeError:
        return []
    read_sd = math.hypot(sd, (1.0 - attained) * GRAVITY_SD) / (original - 1.0)
    return [Beer(ferment, attained, read_sd, session.trusted_because is not None, session_id)]


def _with_sugar(wort_gravity: float, volume_l: float, added_kg: float) -> float:
    """Gravity of all that ferments; nan if sugar was added to nobody knows how much wort."""
    if not added_kg or math.isnan(wort_gravity + volume_l):
        return wort_gravity if not added_kg else math.nan
    total_kg = extract_kg(volume_l, wort_gravity) + added_kg
    return gravity_of_wort(total_kg, volume_l + EXTRACT_VOLUME_L_PER_KG * added_kg)


def _final(read: CorrectedReadings, wort_gravity: float, original: float) -> tuple[float, float]:
    """Final gravity and its error: by hydrometer, or by a refractometer without the alcohol."""
    final = read.beer_gravity(Stage.FINAL)
    brix = read.brix(Stage.FINAL)
    if not math.isnan(final) or math.isnan(brix + original):
        return final, GRAVITY_SD
    by_light = beer_gravity(plato_from_gravity(original), brix, 1.0)
    return by_light.gravity, by_light.half_width / SCORE_80


def _mash_c(session: Session, read: CorrectedReadings) -> float | None:
    """Main rest: as read at mash-in, unless that was the first of several; else as meant.

    A thermometer far from what was meant was misread, or the mash was mended.
    """
    meant_c, mashed_in_c = main_rest_c(session.mash), read.temperature_c(Stage.MASH_IN)
    if len(session.mash) > 1 or math.isnan(mashed_in_c):
        return meant_c
    is_far = meant_c is not None and abs(mashed_in_c - meant_c) > MOST_MISSED_C
    return meant_c if is_far else mashed_in_c


def _yeasts_of(beers: Sequence[Beer]) -> tuple[KnownYeast, ...]:
    """Every yeast once, in the order of their spelling."""
    by_key: dict[str, list[Beer]] = {}
    for beer in beers:
        by_key.setdefault(_key(beer), []).append(beer)
    return tuple(_yeast(of_it) for _, of_it in sorted(by_key.items()))


def _key(beer: Beer) -> str:
    yeast = beer.ferment.yeast
    return UNNAMED if yeast is None else key_of(yeast.name)


def _yeast(beers: Sequence[Beer]) -> KnownYeast:
    named = [beer.ferment.yeast for beer in beers if beer.ferment.yeast is not None]
    stated = [y.apparent_attenuation for y in named if y.apparent_attenuation is not None]
    name = named[-1].name if named else UNNAMED
    return KnownYeast(name, stated[-1] if stated else None, len(beers))


def _row(beer: Beer, yeasts: tuple[KnownYeast, ...], place: int) -> Row:
    """Attenuation less what the books say of it, by setup, mash and yeast."""
    ferment = beer.ferment
    book = by_the_book(ferment, yeasts[place].expected)
    offsets = [0.0] * len(yeasts)
    offsets[place] = 1.0
    sd = math.hypot(
        beer.read_sd,
        BREW_SD,
        book.sd,
        PER_DEGREE[0] * (UNKNOWN_MASH_SD_C if ferment.mash_c is None else MASH_SD_C),
        UNSTATED_SD if ferment.yeast is None else 0.0,
    )
    return Row(
        (1.0, mash_degrees(ferment), *offsets),
        beer.attained - book.mean,
        sd,
        beer.trusted,
        beer.session_id,
    )
