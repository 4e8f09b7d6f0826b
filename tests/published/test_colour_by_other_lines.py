"""Colour by other published lines, and malt colour units by a library of units."""

import math

import numpy as np
import pint
import pytest

from published.cases import cases
from wortwright.brewing import colour


@pytest.mark.parametrize("case", cases("srm_from_lovibond_by_maltster"))
def test_malt_colour_in_srm(case):
    lovibond = case.inputs["colour_lovibond"]
    assert 1.3546 * lovibond - 0.76 == case.printed
    assert colour.srm_from_ebc(colour.ebc_from_lovibond(lovibond)) == case.expected


@pytest.mark.parametrize("case", cases("lovibond_from_ebc_by_siebel"))
def test_malt_colour_in_lovibond_by_an_older_line(case):
    assert 0.375 * case.inputs["colour_ebc"] + 0.56 == case.printed
    assert colour.lovibond_from_ebc(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("ebc_from_srm_by_maltster"))
def test_both_scales_of_a_malt_sheet(case):
    assert colour.ebc_from_srm(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("malt_colour_units_by_pint"))
def test_malt_colour_units_in_pounds_and_gallons(case):
    masses, colours, volume_l = case.inputs.values()
    units = pint.UnitRegistry()
    gallons = units.Quantity(volume_l, "liter").m_as("US_liquid_gallon")
    pounds = [units.Quantity(mass, "kilogram").m_as("pound") for mass in masses]
    assert float(np.dot(pounds, colours)) / gallons == case.printed
    ebc = [colour.ebc_from_srm(srm) for srm in colours]
    assert colour.malt_colour_units(masses, ebc, volume_l) == case.expected


@pytest.mark.parametrize("case", cases("beer_colour_by_three_lines"))
def test_power_curve_through_the_three_lines(case):
    units = np.arange(1.0, 168.0)
    lines = np.select([units < 10.5, units < 37.0], [units, 0.2 * units + 8.4], 0.3 * units + 4.7)
    slope, offset = np.polyfit(np.log(units), np.log(lines), 1)
    mcu = case.inputs["malt_colour_units"]
    assert math.exp(offset) * mcu**slope == case.printed
    assert colour.srm_from_ebc(colour.beer_colour_ebc(mcu)) == case.expected
