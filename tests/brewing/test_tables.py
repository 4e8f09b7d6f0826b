import pytest

from wortwright.brewing import tables
from wortwright.brewing.tables.malt_acidity import malt_acidities, malt_class_of
from wortwright.brewing.tables.styles import Range, style_by_id
from wortwright.brewing.tables.yeast import YeastClass, attenuation_class
from wortwright.records.grist import Kind


def every_name(items):
    return [name.casefold() for item in items for name in (item.name, *item.aliases)]


@pytest.mark.parametrize("items", [tables.FERMENTABLES, tables.HOPS], ids=["fermentables", "hops"])
def test_no_name_means_two_things(items):
    names = every_name(items)
    assert len(names) == len(set(names))


@pytest.mark.parametrize("fermentable", tables.FERMENTABLES, ids=lambda item: item.name)
def test_a_fermentable_is_physically_possible_and_sourced(fermentable):
    assert fermentable.kind in set(Kind)
    assert 0.0 <= fermentable.extract_yield <= 1.0
    assert 0.0 <= fermentable.moisture < 0.5
    assert 0.0 <= fermentable.colour_ebc < 1500.0
    assert fermentable.fermentability is None or 0.0 <= fermentable.fermentability <= 1.0
    assert 0.0 < fermentable.max_share <= 1.0
    assert fermentable.source


@pytest.mark.parametrize("hop", tables.HOPS, ids=lambda item: item.name)
def test_a_hop_is_physically_possible_and_sourced(hop):
    assert 0.005 <= hop.alpha <= 0.22
    assert 0.005 <= hop.beta <= 0.12
    assert 0.0005 < hop.storage_loss_per_day < 0.006
    assert hop.source


@pytest.mark.parametrize(
    "written", ["Pale ale malt", "PALE ALE MALT", "  pale   ale malt ", "ale malt"]
)
def test_a_fermentable_is_found_in_any_case_and_by_alias(written):
    assert tables.fermentable_by_name(written).name == "Pale ale malt"


def test_a_hop_is_found_in_any_case_and_by_alias():
    assert tables.hop_by_name("fuggles") is tables.hop_by_name("FUGGLE")
    assert tables.hop_by_name("Fuggle").name == "Fuggle"


def test_an_unknown_name_is_nothing():
    assert tables.fermentable_by_name("moon dust") is None
    assert tables.hop_by_name("") is None


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_has_a_typical_fermentable_of_that_kind(kind):
    assert tables.typical_of_kind(kind).kind == kind


def test_an_unknown_kind_is_refused():
    with pytest.raises(KeyError):
        tables.typical_of_kind("moon_dust")


@pytest.mark.parametrize(
    "row", [row for row in malt_acidities() if row.kind], ids=lambda row: row.malt_class
)
def test_a_class_of_malt_begins_at_its_colour(row):
    assert malt_class_of(row.kind, row.from_colour_ebc) is row.malt_class
    if row.from_colour_ebc > 0.0:
        assert malt_class_of(row.kind, 0.99 * row.from_colour_ebc) is not row.malt_class


@pytest.mark.parametrize("yeast_class", list(YeastClass))
def test_a_class_of_yeast_is_found_by_its_name(yeast_class):
    assert attenuation_class(yeast_class).yeast_class is yeast_class


@pytest.mark.parametrize(
    ("low", "high", "value", "outside"),
    [
        (1.044, 1.050, 1.040, -0.004),
        (1.044, 1.050, 1.044, 0.0),
        (1.044, 1.050, 1.047, 0.0),
        (1.044, 1.050, 1.050, 0.0),
        (1.044, 1.050, 1.056, 0.006),
        (59.0, None, 118.0, 0.0),
        (59.0, None, 50.0, -9.0),
        (None, 15.0, 0.0, 0.0),
        (None, 15.0, 20.0, 5.0),
    ],
)
def test_a_value_lies_outside_a_range_by_what_is_missing_or_too_much(low, high, value, outside):
    assert Range(low, high).outside_by(value) == pytest.approx(outside, abs=1e-12)


def test_a_style_has_the_figures_of_the_guidelines():
    # German Pils, 2021 guidelines of the Beer Judge Certification Program: 2 to 4 SRM.
    found = style_by_id("5D")
    assert (found.id, found.name) == ("5D", "German Pils")
    assert found.original_gravity == Range(1.044, 1.050)
    assert found.final_gravity == Range(1.008, 1.013)
    assert found.alcohol_by_volume == Range(0.044, 0.052)
    assert found.bitterness_ibu == Range(22.0, 40.0)
    assert (found.colour_ebc.low, found.colour_ebc.high) == pytest.approx((3.94, 7.88), abs=0.005)


def test_the_darkest_colour_of_the_guidelines_is_open_above():
    # Imperial Stout, 30 to 40 SRM: the eye no longer tells darker ones apart.
    colour = style_by_id("20C").colour_ebc
    assert colour.low == pytest.approx(59.1, abs=0.1)
    assert colour.high is None


@pytest.mark.parametrize(
    "written", ["5d", " 5D ", "German Pils", "german  pils", "5D: German Pils"]
)
def test_a_style_is_found_by_id_or_name_in_any_case(written):
    assert style_by_id(written).id == "5D"


@pytest.mark.parametrize("written", ["", "99Z", "pils"])
def test_a_style_that_is_not_there_is_not_found(written):
    assert style_by_id(written) is None
