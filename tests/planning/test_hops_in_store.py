from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.builders import hop, recipe
from wortwright.brewing.hop_storage import Packing
from wortwright.planning.cellar.hops_in_store import (
    StoredHops,
    age_hops,
    calls_for,
    substitute_hops,
    with_aged_hops,
)
from wortwright.records.grist import Moment, Purpose

HOPS = StoredHops("Challenger", 0.10, 200.0, 10.0, Packing.AIRTIGHT)


@given(st.floats(0.0, 2000.0), st.floats(1.0, 500.0), st.sampled_from(Packing))
def test_alpha_only_falls_with_age(age_days, more_days, packing):
    young = replace(HOPS, age_days=age_days, packing=packing)
    old = replace(young, age_days=age_days + more_days)
    assert age_hops(old).alpha < age_hops(young).alpha <= 0.10


def test_a_lot_that_keeps_worse_than_its_variety_is_told_by_its_own_figure():
    worse = age_hops(replace(HOPS, lost_in_half_year=0.6))
    assert worse.alpha < age_hops(HOPS).alpha


def test_the_index_wins_over_age_and_store():
    # Nickerson & Likens 1979, as printed: 33.1 % lost at 0.50.
    aged = age_hops(replace(HOPS, storage_index=0.50))
    assert aged.left_share == pytest.approx(1.0 - 0.331, abs=5e-4)


@given(st.floats(0.001, 1.0), st.floats(0.02, 0.2), st.floats(0.02, 0.2))
def test_there_and_back_gives_the_first_mass(mass_kg, alpha, other):
    there = substitute_hops(mass_kg, alpha, other, Purpose.BITTERNESS).mass_kg
    back = substitute_hops(there, other, alpha, Purpose.BITTERNESS).mass_kg
    assert back == pytest.approx(mass_kg)
    assert there * other == pytest.approx(mass_kg * alpha)


def test_aroma_keeps_its_mass_and_tells_what_becomes_of_the_bitterness():
    made = substitute_hops(0.03, 0.05, 0.10, Purpose.AROMA)
    assert made.mass_kg == 0.03
    assert "+100 %" in made.warnings[0].detail


def test_bittering_hops_keep_their_alpha_acid_and_aroma_its_mass():
    written = recipe(
        hop_bill=(
            hop(0.030),
            hop(0.040, 5.0, Purpose.AROMA),
            hop(0.060, 0.0, Purpose.BITTERNESS, Moment.DRY),
            hop(None, bitterness_ibu=20.0),
            hop(0.025, name="Fuggle", alpha=0.05),
        )
    )
    aged = age_hops(replace(HOPS, name="CHALLENGER"))
    bill = with_aged_hops(written, (aged,)).hop_bill
    assert [line.alpha for line in bill[:4]] == [aged.alpha] * 4
    assert bill[0].mass_kg * aged.alpha == pytest.approx(0.030 * 0.10)
    assert (bill[1].mass_kg, bill[2].mass_kg, bill[3].mass_kg) == (0.040, 0.060, None)
    assert bill[4] == written.hop_bill[4]


def test_a_recipe_calls_for_its_hops_in_any_case():
    assert calls_for(recipe(), "  challenger ")
    assert not calls_for(recipe(), "Target")
