import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright import units
from wortwright.units import Dimension, QuantityError, UnitSystem

SP811 = "NIST SP 811, 2008, appendix B"
UK_ACT = "Weights and Measures Act 1985, schedule 1"
POUND = Fraction("0.45359237")  # kg exactly: international yard and pound agreement 1959; SP 811
US_GALLON = Fraction("3.785411784")  # 231 cubic inches of 2.54 cm; SP 811
IMPERIAL_GALLON = Fraction("4.54609")  # Weights and Measures Act 1985

EVERY_UNIT = [(dimension, symbol) for dimension in Dimension for symbol in units.symbols(dimension)]

DEFINITIONS = [
    (Dimension.MASS, "kg", 1, "base"),
    (Dimension.MASS, "g", Fraction(1, 1000), "SI"),
    (Dimension.MASS, "lb", POUND, SP811),
    (Dimension.MASS, "oz", POUND / 16, SP811),
    (Dimension.HOP_MASS, "kg", 1, "base"),
    (Dimension.HOP_MASS, "g", Fraction(1, 1000), "SI"),
    (Dimension.HOP_MASS, "lb", POUND, SP811),
    (Dimension.HOP_MASS, "oz", POUND / 16, SP811),
    (Dimension.VOLUME, "L", 1, "base"),
    (Dimension.VOLUME, "mL", Fraction(1, 1000), "SI"),
    (Dimension.VOLUME, "US gal", US_GALLON, SP811),
    (Dimension.VOLUME, "US qt", US_GALLON / 4, SP811),
    (Dimension.VOLUME, "US pt", US_GALLON / 8, SP811),
    (Dimension.VOLUME, "US fl oz", US_GALLON / 128, SP811),
    (Dimension.VOLUME, "imp gal", IMPERIAL_GALLON, UK_ACT),
    (Dimension.VOLUME, "imp qt", IMPERIAL_GALLON / 4, UK_ACT),
    (Dimension.VOLUME, "imp pt", IMPERIAL_GALLON / 8, UK_ACT),
    (Dimension.VOLUME, "imp fl oz", IMPERIAL_GALLON / 160, UK_ACT),
    (Dimension.TEMPERATURE_DIFFERENCE, "degC", 1, "base"),
    (Dimension.TEMPERATURE_DIFFERENCE, "degF", Fraction(5, 9), SP811),
    (Dimension.TEMPERATURE_RATE, "degC/h", 1, "base"),
    (Dimension.TEMPERATURE_RATE, "degF/h", Fraction(5, 9), SP811),
    (Dimension.FRACTION, "fraction", 1, "base"),
    (Dimension.FRACTION, "%", Fraction(1, 100), "SP 811, 7.10.2"),
    (Dimension.TIME, "min", 1, "base"),
    (Dimension.TIME, "h", 60, "SP 811, table 6"),
    (Dimension.LENGTH, "mm", 1, "base"),
    (Dimension.LENGTH, "cm", 10, "SI"),
    (Dimension.LENGTH, "in", Fraction("25.4"), SP811),
    (Dimension.CONCENTRATION, "mg/L", 1, "base"),
    (Dimension.CONCENTRATION, "ppm", 1, "practice: a litre of water is a kilogram"),
    (Dimension.ALKALINITY, "mg/L CaCO3", 1, "base"),
    (Dimension.ALKALINITY, "ppm CaCO3", 1, "practice: a litre of water is a kilogram"),
    (Dimension.ALKALINITY, "fH", 10, "10 mg/L of CaCO3"),
    (Dimension.BITTERNESS, "IBU", 1, "base"),
    (Dimension.VOLUME_RATE, "L/h", 1, "base"),
    (Dimension.VOLUME_RATE, "US gal/h", US_GALLON, SP811),
    (Dimension.VOLUME_RATE, "imp gal/h", IMPERIAL_GALLON, UK_ACT),
    (Dimension.VOLUME_PER_MASS, "L/kg", 1, "base"),
    (Dimension.VOLUME_PER_MASS, "US qt/lb", US_GALLON / 4 / POUND, SP811),
    (Dimension.VOLUME_PER_MASS, "imp qt/lb", IMPERIAL_GALLON / 4 / POUND, UK_ACT),
    (Dimension.GRAVITY, "SG", 1, "base"),
    (Dimension.COLOUR, "EBC", 1, "base"),
    (Dimension.COLOUR, "SRM", Fraction("1.97"), "EBC and ASBC methods, printed as 1.97"),
    (Dimension.HARDNESS, "mg/L CaCO3", 1, "base"),
    (Dimension.HARDNESS, "ppm CaCO3", 1, "practice: a litre of water is a kilogram"),
    (Dimension.HARDNESS, "fH", 10, "10 mg/L of CaCO3"),
    (Dimension.HARDNESS, "mmol/L", Fraction("100.086"), "a mmol of CaCO3, standard weights"),
    (Dimension.SMALL_MASS, "g", 1, "base"),
    (Dimension.SMALL_MASS, "mg", Fraction(1, 1000), "SI"),
    (Dimension.SMALL_MASS, "kg", 1000, "SI"),
    (Dimension.SMALL_MASS, "oz", 1000 * POUND / 16, SP811),
    (Dimension.SMALL_MASS, "lb", 1000 * POUND, SP811),
    (Dimension.SMALL_VOLUME, "mL", 1, "base"),
    (Dimension.SMALL_VOLUME, "L", 1000, "SI"),
    (Dimension.SMALL_VOLUME, "US fl oz", 1000 * US_GALLON / 128, SP811),
    (Dimension.SMALL_VOLUME, "imp fl oz", 1000 * IMPERIAL_GALLON / 160, UK_ACT),
    (Dimension.PRESSURE, "bar", 1, "base"),
    (Dimension.PRESSURE, "kPa", Fraction(1, 100), "SI"),
    (Dimension.CARBONATION, "volumes", 1, "base"),
    (Dimension.CELLS, "cells", 1, "base"),
    (Dimension.CELLS, "million cells", 10**6, "definition"),
    (Dimension.CELLS, "billion cells", 10**9, "definition"),
    (Dimension.PITCH_RATE, "million/mL/degP", 1, "base"),
    (Dimension.AGE, "d", 1, "base"),
    (Dimension.AGE, "h", Fraction(1, 24), "SP 811, table 6"),
    (Dimension.AGE, "week", 7, "definition"),
    (Dimension.AGE, "month", Fraction("365.25") / 12, "a twelfth of a Julian year"),
    (Dimension.REFRACTION, "Brix", 1, "base"),
    (Dimension.REFRACTION, "degP", 1, "practice: one scale"),
]

MEASURED = [
    (Dimension.TEMPERATURE, "degF", 60.0, 15.5556, 0.00005, "NIST SP 811, appendix B.9"),
    (Dimension.TEMPERATURE, "degF", 212.0, 100.0, 1e-10, "NIST SP 811, appendix B.9"),
    (Dimension.TEMPERATURE, "degC", 67.0, 67.0, 0.0, "base"),
    (Dimension.ALKALINITY, "dH", 1.0, 17.848, 0.0005, "10 mg/L of CaO as CaCO3, standard weights"),
    (Dimension.ALKALINITY, "meq/L", 1.0, 50.043, 0.0005, "half of 100.086 g/mol"),
    (Dimension.ALKALINITY, "mg/L HCO3", 1.0, 0.8202, 0.00005, "50.043/61.016"),
    (Dimension.ALKALINITY, "mmol/L", 1.0, 50.043, 0.0005, "acid capacity: one charge a mole"),
    (Dimension.HARDNESS, "dH", 1.0, 17.848, 0.0005, "10 mg/L of CaO as CaCO3, standard weights"),
    (Dimension.HARDNESS, "meq/L", 1.0, 50.043, 0.0005, "half of 100.086 g/mol"),
    (Dimension.PRESSURE, "psi", 14.50377, 1.0, 0.0000005, "NIST SP 811, appendix B.8"),
    (Dimension.CARBONATION, "g/L", 1.977, 1.0, 1e-9, "CO2 at 0 degC and 1 atm, 22.263 L/mol"),
    (Dimension.GRAVITY, "degP", 12.0, 1.04833, 0.00001, "ICUMSA SPS-4, 20 degC"),
    (Dimension.GRAVITY, "Brix", 20.0, 1.08292, 0.00001, "ICUMSA SPS-4, 20 degC"),
    (Dimension.GRAVITY, "gravity points", 65.0, 1.065, 1e-12, "definition"),
    (Dimension.COLOUR, "degL", 60.0, 157.8, 0.05, "EBC = 2.65 L - 1.2"),
]


def parsed(text: str, dimension: Dimension) -> float:
    """What a text says, in the base unit."""
    return units.to_base(*units.number_and_unit(text, dimension), dimension)


@pytest.mark.parametrize(
    ("dimension", "symbol", "factor", "source"),
    DEFINITIONS,
    ids=[f"{dimension}: {symbol}" for dimension, symbol, *_ in DEFINITIONS],
)
def test_factor_is_the_published_definition_to_the_last_bit(dimension, symbol, factor, source):
    assert source
    assert units.to_base(1.0, symbol, dimension) == float(factor)


@pytest.mark.parametrize(
    ("dimension", "symbol", "value", "expected", "tolerance", "source"),
    MEASURED,
    ids=[f"{dimension}: {symbol} {value}" for dimension, symbol, value, *_ in MEASURED],
)
def test_scale_agrees_with_its_source(dimension, symbol, value, expected, tolerance, source):
    assert source
    assert units.to_base(value, symbol, dimension) == pytest.approx(expected, abs=tolerance, rel=0)


def test_every_unit_is_checked_against_a_definition():
    checked = {(row[0], row[1]) for row in DEFINITIONS + MEASURED}
    assert checked == set(EVERY_UNIT)


@pytest.mark.parametrize(("dimension", "symbol"), EVERY_UNIT)
@given(share=st.floats(0.0, 1.0))
def test_there_and_back_changes_nothing(dimension, symbol, share):
    base = 0.97 + 0.22 * share if dimension is Dimension.GRAVITY else 1000.0 * share
    there = units.from_base(base, symbol, dimension)
    assert units.to_base(there, symbol, dimension) == pytest.approx(base, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(("dimension", "symbol"), EVERY_UNIT)
def test_a_text_reads_as_its_number_in_its_unit(dimension, symbol):
    value = "1.5" if dimension is not Dimension.GRAVITY else "1.05"
    assert parsed(f"{value} {symbol}", dimension) == units.to_base(float(value), symbol, dimension)


@given(st.floats(allow_nan=False, allow_infinity=False, width=32))
def test_any_finite_number_reads_as_python_writes_it(number):
    assert parsed(f"{number!r} kg", Dimension.MASS) == number


def test_a_gravity_may_be_bare():
    assert parsed("1.065", Dimension.GRAVITY) == 1.065


@given(st.text(max_size=80), st.sampled_from(Dimension))
def test_any_text_is_read_as_a_finite_number_or_refused(text, dimension):
    try:
        value = parsed(text, dimension)
    except QuantityError:
        return
    assert math.isfinite(value)


REFUSED = [
    ("4,5 kg", Dimension.MASS, "'4,5 kg' has a comma"),
    ("1,065", Dimension.GRAVITY, "'1,065' has a comma"),
    ("1,000.5 kg", Dimension.MASS, "has a comma"),
    ("5 fl oz", Dimension.VOLUME, "'fl oz' is ambiguous; write US fl oz or imp fl oz"),
    ("5 gal", Dimension.VOLUME, "'gal' is ambiguous; write US gal or imp gal"),
    ("5 qt", Dimension.VOLUME, "'qt' is ambiguous; write US qt or imp qt"),
    ("5 pt", Dimension.VOLUME, "'pt' is ambiguous; write US pt or imp pt"),
    ("1 gal/h", Dimension.VOLUME_RATE, "write US gal/h or imp gal/h"),
    ("0.5 qt/lb", Dimension.VOLUME_PER_MASS, "write US qt/lb or imp qt/lb"),
    ("1 C", Dimension.TEMPERATURE, "'C' is ambiguous; write degC"),
    ("1 F", Dimension.TEMPERATURE, "'F' is ambiguous; write degF"),
    ("9**9**7", Dimension.MASS, "does not begin with a plain number"),
    ("9**9**7 kg", Dimension.MASS, "does not begin with a plain number"),
    ("nan kg", Dimension.MASS, "'nan kg' does not begin with a plain number"),
    ("inf kg", Dimension.MASS, "does not begin with a plain number"),
    ("Infinity kg", Dimension.MASS, "does not begin with a plain number"),
    ("1e400 kg", Dimension.MASS, "not a finite"),
    ("1e308 h", Dimension.TIME, "too large"),
    ("4.5 kg kg", Dimension.MASS, "'kg kg' is not known"),
    ("4.5 Kg", Dimension.MASS, "'Kg' is not known; for mass write one of kg, g, lb, oz"),
    ("4.5 L", Dimension.MASS, "'L' measures volume; for mass write one of kg, g, lb, oz"),
    ("5 oz", Dimension.VOLUME, "'oz' measures mass"),
    ("120 mg/L", Dimension.ALKALINITY, "'mg/L' measures concentration"),
    ("4.5", Dimension.MASS, "'4.5' has no unit"),
    ("4.5kg", Dimension.MASS, "does not begin with a plain number"),
    ("4.5  kg", Dimension.MASS, "' kg' is not known"),
    ("4.5\tkg", Dimension.MASS, "does not begin with a plain number"),
    ("4.5\u00a0kg", Dimension.MASS, "does not begin with a plain number"),
    (" 4.5 kg", Dimension.MASS, "does not begin with a plain number"),
    ("4.5 kg ", Dimension.MASS, "'kg ' is not known"),
    ("4.5 ", Dimension.MASS, "'' is not known"),
    ("4.5 kg\n", Dimension.MASS, "is not known"),
    ("+4.5 kg", Dimension.MASS, "does not begin with a plain number"),
    ("04.5 kg", Dimension.MASS, "does not begin with a plain number"),
    (".5 kg", Dimension.MASS, "does not begin with a plain number"),
    ("5. kg", Dimension.MASS, "does not begin with a plain number"),
    ("1_000 kg", Dimension.MASS, "does not begin with a plain number"),
    ("\u0664.5 kg", Dimension.MASS, "does not begin with a plain number"),
    ("0x10 kg", Dimension.MASS, "does not begin with a plain number"),
    ("", Dimension.MASS, "does not begin with a plain number"),
    ("kg", Dimension.MASS, "does not begin with a plain number"),
    ("80 degP", Dimension.GRAVITY, "80 degP cannot be converted"),
    ("1" * 62 + " kg", Dimension.MASS, "at most 64"),
    ("a" * 5000, Dimension.MASS, "5000 characters; at most 64"),
]


@pytest.mark.parametrize(
    ("text", "dimension", "reason"), REFUSED, ids=[repr(row[0][:20]) for row in REFUSED]
)
def test_a_text_outside_the_grammar_is_refused_by_name(text, dimension, reason):
    with pytest.raises(QuantityError) as refused:
        parsed(text, dimension)
    assert reason in str(refused.value)
    assert len(str(refused.value)) < 300


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("convert", [units.to_base, units.from_base])
def test_a_number_that_is_not_finite_is_refused(convert, value):
    with pytest.raises(QuantityError, match="finite"):
        convert(value, "lb", Dimension.MASS)


@pytest.mark.parametrize("convert", [units.to_base, units.from_base])
def test_a_unit_of_another_dimension_is_refused_with_what_is_accepted(convert):
    with pytest.raises(QuantityError) as refused:
        convert(1.0, "L", Dimension.MASS)
    assert refused.value.accepted == ("kg", "g", "lb", "oz")


def test_a_gravity_beyond_the_scale_of_extract_is_refused():
    with pytest.raises(QuantityError, match="cannot be converted"):
        units.from_base(2.0, "degP", Dimension.GRAVITY)


@pytest.mark.parametrize("dimension", Dimension)
@pytest.mark.parametrize("system", UnitSystem)
def test_every_dimension_has_a_unit_in_every_system(dimension, system):
    assert units.preferred(dimension, system) in units.symbols(dimension)


def test_systems_differ_where_their_brewers_do():
    volume = [units.preferred(Dimension.VOLUME, system) for system in UnitSystem]
    assert volume == ["L", "US gal", "imp gal"]
    assert units.preferred(Dimension.HOP_MASS, UnitSystem.METRIC) == "g"
    assert units.preferred(Dimension.COLOUR, UnitSystem.US) == "SRM"


@pytest.mark.parametrize("dimension", Dimension)
def test_the_base_unit_leads_and_changes_nothing(dimension):
    base = units.base_unit(dimension)
    assert units.symbols(dimension)[0] == base
    assert units.to_base(1.05, base, dimension) == 1.05
