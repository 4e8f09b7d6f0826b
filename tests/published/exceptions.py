"""Public functions that have no counting check, each with its reason."""

_DEFINITION = "a definition or its inverse; there is nothing outside to hold it against"
_PRACTICE = "a rule of practice without a published source; its unit test holds it to the rule"
_LOOK_UP = "looks up a shipped table whose rows name their sources; no formula"
_GUARD = "guards a range; no formula"
_ORDER = "hands over a weight or an order of wishes chosen for this service; no formula"
_FIGURE = "interpolates a printed figure whose few points stand in the code and so do not count"

EXCEPTIONS = {
    "alcohol.apparent_attenuation": _DEFINITION,
    "alcohol.final_gravity": _DEFINITION,
    "hops.mean_boil_gravity": _DEFINITION,
    "attenuation.attenuation_of_class": _LOOK_UP,
    "attenuation.attenuation_as_stated": _PRACTICE,
    "blending.misses_of": _ORDER,
    "boil.kettle_hop_absorption_l": _PRACTICE,
    "bottling.needs_fresh_yeast": _PRACTICE,
    "bottling.bottling_yeast_g": _PRACTICE,
    "errors.require_between": _GUARD,
    "errors.require_positive": _GUARD,
    "fermentation.progress": _PRACTICE,
    "fermentation.gravity_to_expect": _PRACTICE,
    "mash_water.positive_part": _GUARD,
    "mash_acid.with_acid": _ORDER,
    "mash_ph.malt_of_class": _LOOK_UP,
    "repitching.slurry_ml": _PRACTICE,
    "repitching.slurry_viable_share": _PRACTICE,
    "repitching.cake_cells": _PRACTICE,
    "repitching.cake_is_tired": _PRACTICE,
    "salts.salt": _LOOK_UP,
    "starter.still_growth_factor": _FIGURE,
    "starter.stirred_growth_factor": (
        "a published fit whose constants are from memory; the paper was not at hand"
    ),
    "starter.starter_steps": _PRACTICE,
    "tables.fermentable_by_name": _LOOK_UP,
    "tables.hop_by_name": _LOOK_UP,
    "tables.typical_of_kind": _LOOK_UP,
    "tables.ion_limits.ion_limits": _LOOK_UP,
    "tables.malt_acidity.malt_acidities": _LOOK_UP,
    "tables.malt_acidity.malt_acidity": _LOOK_UP,
    "tables.malt_acidity.malt_class_of": _LOOK_UP,
    "tables.packaging.bottle_limit": _LOOK_UP,
    "tables.rows.rows": _LOOK_UP,
    "tables.salts.salts": _LOOK_UP,
    "tables.salts.refused_salts": _LOOK_UP,
    "tables.styles.style_by_id": _LOOK_UP,
    "tables.styles.styles": _LOOK_UP,
    "tables.yeast.pitch_rates": _LOOK_UP,
    "tables.yeast.attenuation_classes": _LOOK_UP,
    "tables.yeast.attenuation_class": _LOOK_UP,
    "water_limits.limits_passed": _LOOK_UP,
    "water_targets.ion_wishes": _ORDER,
    "water_targets.balance_wishes": _ORDER,
    "water_targets.misses": _ORDER,
    "yeast.pitch_rate_million_per_ml_plato": _LOOK_UP,
    "yeast.pitch_risk": _PRACTICE,
    "yeast.dry_packets": _PRACTICE,
    "yeast.liquid_viable_share": _PRACTICE,
}

COPIED = {"still_starter_cells_1e9", "drinking_water_limits"}
"""Files whose numbers stand in the code as constants: they prove nothing and do not count."""
