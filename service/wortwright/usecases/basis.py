"""What a plan is made from: a setup with what is known of it, and a recipe, stored or not."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from uuid import UUID

from wortwright.brewing.errors import OutOfRangeError
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import Calibration
from wortwright.planning.brewhouse import Brewhouse
from wortwright.planning.kettle.kettle_reading import ReadingError
from wortwright.planning.recipe import IncompleteRecipeError, read_recipe
from wortwright.planning.target import Preferences, TargetError
from wortwright.records.recipe import Recipe
from wortwright.records.sentence import Said, capitalised, say, told_range
from wortwright.records.setup import Setup
from wortwright.store import calibrations, recipes, setups
from wortwright.store.database import Tx
from wortwright.store.scalings import ComputedFrom
from wortwright.store.stored import Scope, Stored
from wortwright.usecases.callers import Caller
from wortwright.usecases.rights import may_read


class CannotScaleError(ValueError):
    """What was asked for cannot be planned; ``pointer`` tells the field of the request."""

    def __init__(self, pointer: str, detail: Said) -> None:
        super().__init__(detail)
        self.pointer = pointer


@dataclass(frozen=True, slots=True)
class Basis:
    """The setup of a plan with what is known of it, and whose it is."""

    setup: Setup
    calibration: Calibration
    owner: Scope
    computed_from: ComputedFrom = field(default_factory=ComputedFrom)


@dataclass(frozen=True, slots=True)
class HouseAsked:
    """A recipe on a setup, each by the id of a stored one or written out."""

    setup: UUID | Setup
    recipe: UUID | Recipe
    preferences: Preferences = field(default_factory=Preferences)


def stored_basis(tx: Tx, caller: Caller, setup_id: UUID) -> Basis:
    """Give a stored setup with its present calibration."""
    setup = setups.get(tx, may_read(caller), setup_id)
    owner = Scope(setup.club_id, setup.brewer_id)
    known = calibrations.latest(tx, owner, setup_id)
    computed_from = ComputedFrom(setup.id, setup.version, calibration_number=known.number)
    return Basis(setup.value, known.value, owner, computed_from)


def basis_of(tx: Tx, caller: Caller, setup: UUID | Setup) -> Basis:
    """Give a setup with what is known of it; of one written out that is what its kind does."""
    if isinstance(setup, UUID):
        return stored_basis(tx, caller, setup)
    return Basis(setup, fit_calibration(setup, ()), may_read(caller))


def recipe_of(tx: Tx, basis: Basis, recipe: UUID | Recipe) -> tuple[Recipe, Stored[Recipe] | None]:
    """Give a recipe, and its row if it is stored.

    Read as the setup's owner: a recipe of another brewer does not go onto this setup.
    """
    if isinstance(recipe, Recipe):
        return recipe, None
    stored = recipes.get(tx, basis.owner, recipe)
    return stored.value, stored


def house_of(tx: Tx, caller: Caller, asked: HouseAsked) -> Brewhouse:
    """Put a recipe onto a setup."""
    basis = basis_of(tx, caller, asked.setup)
    recipe, stored = recipe_of(tx, basis, asked.recipe)
    with refusals(stored=stored is not None):
        read = read_recipe(recipe)
    return Brewhouse(read, basis.setup, basis.calibration, asked.preferences)


@contextmanager
def refusals(*, stored: bool = False, target: str = "") -> Iterator[None]:
    """Tell what planning refuses by its place in the request.

    Parameters
    ----------
    stored : bool
        Whether the recipe was named by its id.
    target : str
        Where the request has its target.
    """
    try:
        yield
    except IncompleteRecipeError as error:
        where = "/recipe_id" if stored else f"/recipe/{error.field}"
        raise CannotScaleError(where, error.detail) from error
    except TargetError as error:
        raise CannotScaleError(f"{target}/{error.field}", error.detail) from error
    except ReadingError as error:
        said = say("{detail}.", detail=capitalised(error.detail))
        raise CannotScaleError(f"/{error.field}", said) from error
    except OutOfRangeError as error:
        said = say("This cannot be computed: {why}.", why=told_range(error)[0])
        raise CannotScaleError("", said) from error
