"""All resources."""

from wortwright.api import (
    brewers,
    calibrations,
    clubs,
    conversions,
    fermentations,
    hops,
    keys,
    links,
    moving,
    packaging,
    recipes,
    scalings,
    sessions,
    setups,
    water,
    yeast,
)

BLUEPRINTS = [
    clubs.blueprint,
    keys.blueprint,
    brewers.blueprint,
    moving.blueprint,
    setups.blueprint,
    recipes.blueprint,
    sessions.blueprint,
    calibrations.blueprint,
    scalings.blueprint,
    water.blueprint,
    yeast.blueprint,
    hops.blueprint,
    fermentations.blueprint,
    packaging.blueprint,
    conversions.blueprint,
    links.blueprint,
]
