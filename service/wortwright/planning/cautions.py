"""Harms that a brew day can do to a person, each with what to do about it, in one table.

The advice is general. Labels of products, makers' instructions, local codes and law, and people
licensed for gas, electricity and pressure come before it.
"""

from dataclasses import dataclass

from wortwright.records.sentence import Said, degrees, kilograms, rounded, say

# Common practice, no source: a heavier bag is not lifted by one person alone.
HEAVY_LIFT_KG = 10.0


@dataclass(frozen=True, slots=True)
class Caution:
    """A harm to a person: a stable code, what can happen, what to do."""

    code: str
    hazard: Said
    advice: Said


_CAUTIONS = (
    Caution(
        "boil_over",
        "Wort foams up as it comes to the boil and again when hops go in, and floods hot and "
        "sticky over the rim.",
        "Leave a fifth of the kettle free, stay beside it, add hops a few at a time, and turn "
        "the heat off when foam climbs.",
    ),
    Caution(
        "scald",
        say(
            "Water, mash and wort between {warm} and {boiling} scald at once.",
            warm=rounded(degrees(60.0)),
            boiling=rounded(degrees(100.0)),
        ),
        "Wear closed shoes, long sleeves and gloves that keep water out, keep children and pets "
        "away, and pump or drain hot liquid rather than carry it.",
    ),
    Caution(
        "overflow",
        "This mash or wort is more than its vessel holds and would flood over, scalding.",
        "Do not brew it as it stands: take one of the ways out.",
    ),
    Caution(
        "lifting",
        "A full kettle or fermenter is heavier than one person lifts safely, and a slip spills "
        "all of it.",
        "Move liquid by pump or siphon, or lift with a second person once it is cold; never "
        "carry a vessel that is hot.",
    ),
    Caution(
        "wet_bag",
        "A bag of grain just lifted weighs two to three times its dry grain, drips scalding wort "
        "and may tear or slip.",
        say(
            "Above {heavy} use a hoist or a second person, with hook, rope and beam rated for "
            "three times the dry grain; let it drain, keep bare hands off, never lift it above "
            "head height.",
            heavy=rounded(kilograms(HEAVY_LIFT_KG)),
        ),
    ),
    Caution(
        "sealed_kettle",
        "A heated vessel that is closed tight builds steam pressure and bursts.",
        "Leave the lid off or ajar, and keep outlets and relief valves clear of hops and grain.",
    ),
    Caution(
        "gas_burner",
        "A gas flame makes carbon monoxide, which has no smell, and bottled gas that leaks "
        "gathers in low places and explodes.",
        "Burn it outdoors only, away from cellars and drains, on level ground; test joints with "
        "soapy water, follow the burner's label and leave fixed gas work to a licensed fitter.",
    ),
    Caution(
        "electric_heating",
        "Electricity and wet floors kill.",
        "Use earthed sockets behind a residual-current device, keep cables off the floor, check "
        "the circuit's rating, and leave wiring to a licensed electrician.",
    ),
    Caution(
        "fermentation_gas",
        "Fermentation gives off many times the beer's own volume of carbon dioxide, which lies "
        "low and suffocates without warning.",
        "Air cellars, cupboards, fridges and tanks before going in, never lean into a vessel, "
        "and leave a room at the first headache or shortness of breath.",
    ),
    Caution(
        "sealed_vessel",
        "Beer that still ferments, or warms up, bursts a vessel that is closed tight.",
        "Fill ageing vessels to the neck and keep them under an airlock, never stoppered.",
    ),
    Caution(
        "co2_cylinder",
        "A gas cylinder that falls or is opened into the wrong vessel is a projectile or a bomb, "
        "and a leak fills a room with carbon dioxide.",
        "Chain it upright, use a regulator and relief valve meant for it, never connect it to "
        "glass, and keep a carbon dioxide alarm beside it.",
    ),
    Caution(
        "bottle_pressure",
        "Bottles filled before fermentation has finished, or with too much sugar, burst and "
        "throw glass.",
        "Bottle only at a gravity that has stayed the same for days, weigh the sugar, use sound "
        "bottles made for carbonated drink, and store them boxed, cool and away from people.",
    ),
    Caution(
        "doubtful_bottle",
        "A bottle that gushes or was primed twice may burst in the hand.",
        "Wear goggles and thick gloves, chill it in its box before opening, and do not move it "
        "while it is warm.",
    ),
    Caution(
        "glass",
        "Glass vessels crack from heat, slip from wet hands and cut deep; under pressure they "
        "explode.",
        "No hot wort, no pressure, airlock open, a carrier under the vessel and dry hands; "
        "plastic or steel is safer.",
    ),
    Caution(
        "lime",
        "Slaked lime burns skin and does lasting harm to eyes; its dust hurts the lungs.",
        "Wear goggles and gloves, raise no dust, keep it from strong acid; rinse skin with much "
        "water, and see a doctor at once about eyes.",
    ),
    Caution(
        "acid",
        "Concentrated lactic and phosphoric acid burn skin and eyes, and any acid with chlorine "
        "bleach sets free a poisonous gas.",
        "Wear goggles and gloves, pour acid into water and never the reverse, measure it, do not "
        "taste it, keep it far from bleach, and follow its label.",
    ),
    Caution(
        "caustic",
        "Caustic and other cleaners burn skin and eyes, eat aluminium, and give off poisonous "
        "gas when mixed; caustic in a closed tank of carbon dioxide sucks the tank in.",
        "Use one product at a time as its label says, wear goggles and gloves, air the tank "
        "first, rinse well, and keep cleaners in labelled bottles only.",
    ),
    Caution(
        "metabisulfite",
        "Metabisulfite gives off sulfur dioxide, which can bring on asthma in those who are "
        "sensitive.",
        "Weigh it outdoors or in moving air, keep to the dose, and tell guests that the beer "
        "holds sulfite.",
    ),
    Caution(
        "laxative_water",
        "This much magnesium or sulfate in the water can act as a laxative.",
        "Dilute the water, or choose other salts.",
    ),
    Caution(
        "private_well",
        "Water from a private well may hold nitrate, lead or arsenic, which no taste tells and "
        "boiling does not remove.",
        "Have it analysed by a certified laboratory before brewing with it; keep it from infants "
        "until then.",
    ),
    Caution(
        "strong_drink",
        "Beer this strong holds the alcohol of wine or more in a beer glass.",
        "Serve small glasses, say how strong it is, do not drive or work with hot or heavy "
        "things after it, and give none to minors or in pregnancy.",
    ),
    Caution(
        "alcohol_law",
        "How much beer may be made at home, by whom, and whether it may be given away or sold "
        "differs from place to place; distilling is mostly a crime.",
        "Look up the law where you live before brewing, and do not sell what you make.",
    ),
)

_BY_CODE = {each.code: each for each in _CAUTIONS}


def caution(code: str) -> Caution:
    """Look a caution up.

    Parameters
    ----------
    code : str
        Its code, e.g. ``"boil_over"``.

    Returns
    -------
    Caution
        Hazard and advice as sentences for a person.

    Raises
    ------
    KeyError
        For a code that is not in the table.
    """
    return _BY_CODE[code]


def all_cautions() -> tuple[Caution, ...]:
    """Every caution, in the order of a brew day.

    Returns
    -------
    tuple of Caution
        For a page that lists them all.
    """
    return _CAUTIONS
