"""All resources."""

from wortwright.api import (
    brewers,
    calibrations,
    clubs,
    keys,
    recipes,
    scalings,
    sessions,
    setups,
)

BLUEPRINTS = [
    clubs.blueprint,
    keys.blueprint,
    brewers.blueprint,
    setups.blueprint,
    recipes.blueprint,
    sessions.blueprint,
    calibrations.blueprint,
    scalings.blueprint,
]
