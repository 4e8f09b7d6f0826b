import pytest

from wortwright.brewing.tables import fermentable_by_name, hop_by_name
from wortwright.records.complete import (
    IncompleteIngredientError,
    WrittenFermentable,
    WrittenHop,
    complete_fermentable,
    complete_hop,
)
from wortwright.records.grist import AddedTo, HopForm, Kind, Moment, Purpose, Role


def test_a_known_name_is_enough_and_what_was_assumed_is_told() -> None:
    row = fermentable_by_name("Pale ale malt")
    assert row is not None
    made = complete_fermentable(WrittenFermentable("pale ale MALT", mass_kg=4.0))
    assert (made.extract_yield, made.moisture) == (row.extract_yield, row.moisture)
    assert made.colour_ebc == row.colour_ebc
    assert set(made.assumed) == {
        "kind",
        "extract_yield",
        "moisture",
        "colour_ebc",
        "added_to",
        "role",
    }


def test_what_is_said_is_kept_and_not_called_assumed() -> None:
    made = complete_fermentable(
        WrittenFermentable("Pale ale malt", mass_kg=4.0, extract_yield=0.78, moisture=0.0)
    )
    assert (made.extract_yield, made.moisture, made.as_is_yield) == (0.78, 0.0, 0.78)
    assert not {"extract_yield", "moisture"} & set(made.assumed)


@pytest.mark.parametrize(
    ("kind", "role", "added_to"),
    [
        (Kind.BASE_MALT, Role.BASE, AddedTo.MASH),
        (Kind.KILNED_MALT, Role.BASE, AddedTo.MASH),
        (Kind.UNMALTED, Role.BASE, AddedTo.MASH),
        (Kind.CRYSTAL_MALT, Role.CHARACTER, AddedTo.MASH),
        (Kind.ROASTED_MALT, Role.CHARACTER, AddedTo.MASH),
        (Kind.ACIDULATED_MALT, Role.CHARACTER, AddedTo.MASH),
        (Kind.SUGAR, Role.BASE, AddedTo.KETTLE),
        (Kind.SYRUP, Role.BASE, AddedTo.KETTLE),
        (Kind.MALT_EXTRACT, Role.BASE, AddedTo.KETTLE),
    ],
)
def test_role_and_place_follow_from_the_kind(kind: Kind, role: Role, added_to: AddedTo) -> None:
    made = complete_fermentable(WrittenFermentable("House malt", mass_kg=1.0, kind=kind))
    assert (made.role, made.added_to) == (role, added_to)


def test_a_yield_alone_makes_it_a_base_malt() -> None:
    made = complete_fermentable(WrittenFermentable("Mill Lane No 3", share=0.9, extract_yield=0.8))
    assert made.kind is Kind.BASE_MALT
    assert "kind" in made.assumed


def test_a_kind_said_wins_over_the_kind_of_the_name() -> None:
    named = fermentable_by_name("Pale ale malt")
    assert named is not None
    made = complete_fermentable(
        WrittenFermentable("Pale ale malt", mass_kg=1.0, kind=Kind.ROASTED_MALT)
    )
    assert made.kind is Kind.ROASTED_MALT
    assert made.colour_ebc > 10 * named.colour_ebc


def test_nothing_known_names_the_field_that_would_help() -> None:
    with pytest.raises(IncompleteIngredientError, match="Mill Lane") as refused:
        complete_fermentable(WrittenFermentable("Mill Lane No 3", mass_kg=1.0))
    assert refused.value.field == "kind"
    assert "base_malt" in refused.value.accepted


@pytest.mark.parametrize("amounts", [{}, {"mass_kg": 1.0, "share": 0.5}])
def test_the_amount_is_said_exactly_once(amounts: dict[str, float]) -> None:
    with pytest.raises(IncompleteIngredientError) as refused:
        complete_fermentable(WrittenFermentable("Pale ale malt", **amounts))
    assert refused.value.field == "mass"


@pytest.mark.parametrize(
    ("moment", "time_min", "purpose"),
    [
        (Moment.BOIL, 60.0, Purpose.BITTERNESS),
        (Moment.BOIL, 15.0, Purpose.BITTERNESS),
        (Moment.BOIL, 14.0, Purpose.AROMA),
        (Moment.FIRST_WORT, None, Purpose.BITTERNESS),
        (Moment.MASH, None, Purpose.BITTERNESS),
        (Moment.STAND, 20.0, Purpose.AROMA),
        (Moment.DRY, None, Purpose.AROMA),
    ],
)
def test_the_purpose_of_hops_follows_from_moment_and_time(
    moment: Moment, time_min: float | None, purpose: Purpose
) -> None:
    made = complete_hop(WrittenHop("Challenger", moment, mass_kg=0.02, time_min=time_min))
    assert made.purpose is purpose
    assert "purpose" in made.assumed


def test_alpha_comes_from_the_variety_and_is_told() -> None:
    variety = hop_by_name("Challenger")
    assert variety is not None
    made = complete_hop(WrittenHop("Challenger", Moment.BOIL, mass_kg=0.02, time_min=60.0))
    assert (made.alpha, made.form) == (variety.alpha, HopForm.PELLET)
    assert set(made.assumed) == {"alpha", "form", "purpose"}


@pytest.mark.parametrize(
    ("written", "field"),
    [
        (WrittenHop("Weir Gold", Moment.BOIL, mass_kg=0.02, time_min=60.0), "alpha"),
        (WrittenHop("Challenger", Moment.BOIL, mass_kg=0.02), "time"),
        (WrittenHop("Challenger", Moment.BOIL, time_min=60.0), "mass"),
        (WrittenHop("Challenger", Moment.DRY, bitterness_ibu=5.0), "mass"),
    ],
)
def test_hops_that_cannot_be_completed_name_the_field(written: WrittenHop, field: str) -> None:
    with pytest.raises(IncompleteIngredientError) as refused:
        complete_hop(written)
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("name", "role"),
    [
        ("Munich malt, light", Role.BASE),
        ("Munich malt, dark", Role.BASE),
        ("Amber malt", Role.CHARACTER),
        ("Brown malt", Role.CHARACTER),
    ],
)
def test_kilned_malts_dark_enough_for_flavour_are_character(name: str, role: Role) -> None:
    assert complete_fermentable(WrittenFermentable(name=name, mass_kg=1.0)).role is role
