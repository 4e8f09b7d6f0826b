"""A club with a brewer, as the use cases see them."""

from uuid import UUID

from factories import SETUP, recipe
from wortwright.records.brewer import Brewer, Club
from wortwright.records.recipe import Recipe
from wortwright.records.setup import Setup
from wortwright.store.database import Database
from wortwright.store.stored import Stored
from wortwright.usecases.brewers import create_brewer
from wortwright.usecases.callers import Caller, KeyKind, read_key
from wortwright.usecases.clubs import create_club
from wortwright.usecases.keys import KeyAsked, caller_for, create_key
from wortwright.usecases.recipes import create_recipe
from wortwright.usecases.setups import create_setup
from wortwright.usecases.work import Work

PEPPER = "a pepper that is only good for tests"


class House:
    """One club, its key's caller and its first brewer."""

    def __init__(self, database: Database, name: str = "Millrace Lane") -> None:
        self.database = database
        self.club, self.club_key = create_club(database, Club(name), PEPPER)
        self.caller = caller_for(database, read_key(self.club_key, PEPPER))
        self.work = Work(database, self.caller)
        self.brewer: Stored[Brewer] = create_brewer(self.work, Brewer("Ada Millrace"))

    def as_brewer(self, kind: KeyKind = KeyKind.BREWER, brewer_id: UUID | None = None) -> Caller:
        """Give the caller of a new key of a brewer's."""
        asked = KeyAsked(kind, "test", brewer_id or self.brewer.id)
        return caller_for(
            self.database, read_key(create_key(self.work, asked, PEPPER).text, PEPPER)
        )

    def working(self, caller: Caller) -> Work:
        return Work(self.database, caller)

    def setup(self) -> Stored[Setup]:
        return create_setup(self.work, self.brewer.id, SETUP)

    def recipe(self, owner: UUID | None = None) -> Stored[Recipe]:
        return create_recipe(self.work, owner, recipe())
