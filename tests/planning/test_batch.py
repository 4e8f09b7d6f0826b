"""A batch is sized as each recipe would be alone."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import tried
from planning.builders import calibrations, recipes
from planning.kit import BAG, BARLEY_WINE, BITTER, bag_calibration
from wortwright.api.sentences import spoken, told
from wortwright.brewing.errors import OutOfRangeError
from wortwright.planning.assembling import assemble_plan
from wortwright.planning.batch import size_batch, solve_grains
from wortwright.planning.grain import mashed_grist, solve_grain
from wortwright.planning.plan import Asked
from wortwright.planning.recipe import read_recipe
from wortwright.planning.sizing import size_brew
from wortwright.planning.target import GristPolicy, Preferences, TargetError
from wortwright.records.grist import AddedTo
from wortwright.records.recipe import VolumeAt
from wortwright.records.setup import Vessel

KNOWN = bag_calibration()
PREFERENCES = Preferences()


@given(
    st.lists(
        st.tuples(recipes(), st.floats(0.5, 2.0), st.floats(1.0, 9.0)), min_size=1, max_size=5
    ),
    calibrations(),
    st.sampled_from(list(GristPolicy)),
)
@tried(40)
def test_grain_of_all_at_once_is_that_of_each_alone(brews, known, policy):
    grists = [mashed_grist(read_recipe(recipe), scale, policy) for recipe, scale, _ in brews]
    preboil = np.array([recipe.volume_l * scale + 4.0 for recipe, scale, _ in brews])
    wanted = np.array([kg for _, _, kg in brews])
    together = solve_grains(grists, known, preboil, wanted)
    for row, grist in enumerate(grists):
        alone = solve_grain(grist, known, float(preboil[row]), float(wanted[row]))
        assert together.extract_kg[row] == pytest.approx(alone.extract_kg, rel=2e-6)
        if alone.reach >= 1.0:
            assert together.grain_kg[row] == pytest.approx(alone.plan.grain_kg, rel=1e-6)


def test_a_batch_is_what_each_plan_would_be():
    reads = [read_recipe(recipe) for recipe in (BITTER, BARLEY_WINE, BITTER)]
    targets = [
        Asked(18.0, VolumeAt.FERMENTER, 1.050, None),
        Asked(10.0, VolumeAt.PACKAGE, 1.110, None),
        Asked(40.0, VolumeAt.FERMENTER, 1.050, 30.0),
    ]
    lines = size_batch(reads, targets, BAG, KNOWN, PREFERENCES)
    for read, asked, line in zip(reads, targets, lines, strict=True):
        alone = size_brew(read, KNOWN, asked, PREFERENCES)
        plan = assemble_plan(read, BAG, KNOWN, asked, PREFERENCES)
        assert line.grain_kg == pytest.approx(alone.grain.plan.grain_kg, rel=1e-9)
        assert line.original_gravity == pytest.approx(asked.gravity, abs=1e-9)
        assert line.reaches_gravity
        assert line.fits is plan.fit.fits
        assert line.asked == plan.asked
        assert line.asked.bitterness_ibu > 20.0
    assert [line.fits for line in lines] == [True, True, False]


def test_a_gravity_beyond_the_mash_is_said():
    read = read_recipe(BARLEY_WINE)
    asked = Asked(19.0, VolumeAt.FERMENTER, 1.185, None)
    (line,) = size_batch([read], [asked], BAG, KNOWN, PREFERENCES)
    assert not line.reaches_gravity
    assert line.original_gravity < 1.185


def test_one_that_is_refused_stops_no_other():
    reads = [read_recipe(BITTER), read_recipe(BITTER)]
    targets = [
        Asked(0.5, VolumeAt.FERMENTER, 1.050, None),
        Asked(15.0, VolumeAt.FERMENTER, 1.05, None),
    ]
    first, second = size_batch(reads, targets, BAG, KNOWN, PREFERENCES)
    assert first.refused
    assert first.grain_kg is None
    assert second.fits
    assert size_batch(reads[:1], targets[:1], BAG, KNOWN, PREFERENCES)[0].refused


def test_too_many_at_once_are_refused():
    reads = [read_recipe(replace(BITTER, name=str(n))) for n in range(201)]
    asked = [Asked(15.0, VolumeAt.FERMENTER, 1.05, None)] * 201
    with pytest.raises(TargetError):
        size_batch(reads, asked, BAG, KNOWN, PREFERENCES)
    assert len(size_batch(reads[:200], asked[:200], BAG, KNOWN, PREFERENCES)) == 200


@given(
    st.lists(st.tuples(recipes(), st.floats(5.0, 40.0)), min_size=1, max_size=4),
    calibrations(),
    st.floats(20.0, 60.0),
    st.sampled_from([VolumeAt.FERMENTER, VolumeAt.PACKAGE, VolumeAt.KETTLE]),
)
@tried(60)
def test_a_batch_judges_every_recipe_as_its_plan_does(brews, known, kettle_l, volume_at):
    method, runnings = known.efficiency.method, known.efficiency.runnings
    on = replace(
        BAG,
        lauter_method=method,
        runnings=runnings,
        vessels=replace(BAG.vessels, kettle=Vessel(kettle_l)),
    )
    reads = [read_recipe(recipe) for recipe, _ in brews]
    targets = [
        Asked(litres, volume_at, read.original_gravity, None)
        for read, (_, litres) in zip(reads, brews, strict=True)
    ]
    lines = size_batch(reads, targets, on, known, PREFERENCES)
    for read, asked, line in zip(reads, targets, lines, strict=True):
        if line.refused is not None:
            with pytest.raises((TargetError, OutOfRangeError)) as refused:
                assemble_plan(read, on, known, asked, PREFERENCES)
            assert told(refused.value) == spoken(line.refused)
            continue
        plan = assemble_plan(read, on, known, asked, PREFERENCES)
        assert line.fits is plan.fit.fits
        assert line.reaches_gravity is plan.fit.reaches_gravity
        exact_kg = sum(p.exact_kg for p in plan.grist if p.added_to is AddedTo.MASH)
        assert line.preboil_l == pytest.approx(plan.water.preboil_l, rel=1e-9)
        if line.reaches_gravity:
            assert line.grain_kg == pytest.approx(exact_kg, rel=1e-9)
            assert line.original_gravity == pytest.approx(asked.gravity, abs=1e-9)
