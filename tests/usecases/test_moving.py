from pathlib import Path

import pytest

from factories import session
from usecases.house import House
from wortwright.records.session import SessionState
from wortwright.store.database import Database
from wortwright.store.stored import AlreadyHereError, NotFoundError
from wortwright.usecases.brewers import delete_brewer
from wortwright.usecases.calibrations import get_latest_calibration
from wortwright.usecases.moving import BrewerExport, export_brewer, import_brewer
from wortwright.usecases.rights import NotAllowedError
from wortwright.usecases.scalings import ScalingAsked, create_scaling
from wortwright.usecases.sessions import create_session


@pytest.fixture
def export(house: House) -> BrewerExport:
    setup, recipe = house.setup(), house.recipe(house.brewer.id)
    house.recipe()
    scaling = create_scaling(house.work, ScalingAsked(setup.id, recipe.id))
    for day in (1, 2):
        brew = session(day, state=SessionState.CLOSED)
        create_session(house.work, setup.id, scaling.id, brew)
    return export_brewer(house.database, house.caller, house.brewer.id)


def test_an_export_holds_everything_of_the_brewer_and_nothing_else(export: BrewerExport) -> None:
    things = (export.setups, export.recipes, export.scalings, export.sessions)
    assert [len(some) for some in things] == [1, 1, 1, 2]
    assert [one.numbered.number for one in export.calibrations] == [0, 1, 2]


def test_what_is_imported_elsewhere_is_exported_the_same(
    export: BrewerExport, tmp_path: Path
) -> None:
    elsewhere = Database(f"sqlite:///{tmp_path / 'elsewhere.sqlite3'}")
    elsewhere.migrate()
    other = House(elsewhere, "Weir Street")
    import_brewer(other.work, export)
    assert export_brewer(elsewhere, other.caller, export.brewer.row.id) == export
    elsewhere.close()


def test_what_was_deleted_can_be_brought_back(house: House, export: BrewerExport) -> None:
    before = get_latest_calibration(house.database, house.caller, export.setups[0].row.id)
    delete_brewer(house.work, house.brewer.id, 1)
    import_brewer(house.work, export)
    after = get_latest_calibration(house.database, house.caller, export.setups[0].row.id)
    assert after == before
    assert export_brewer(house.database, house.caller, house.brewer.id) == export


def test_what_is_here_already_is_not_imported_twice(house: House, export: BrewerExport) -> None:
    stranger = House(house.database, "Weir Street")
    for one in (house, stranger):
        with pytest.raises(AlreadyHereError):
            import_brewer(one.work, export)
    assert export_brewer(house.database, house.caller, house.brewer.id) == export


def test_who_may_export(house: House, export: BrewerExport) -> None:
    own = house.as_brewer()
    assert export_brewer(house.database, own, house.brewer.id) == export
    stranger = House(house.database, "Weir Street").caller
    with pytest.raises(NotFoundError):
        export_brewer(house.database, stranger, house.brewer.id)
    with pytest.raises(NotAllowedError):
        import_brewer(house.working(own), export)
