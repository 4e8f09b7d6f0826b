import pytest

from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.water_report import (
    AmbiguousBasisError,
    Basis,
    Quantity,
    ReportLine,
    ReportUnit,
    UnreadableReportError,
    line_meq_l,
    water_from_report,
)

MG_L = ReportUnit.MG_L


def line(quantity, value, unit=MG_L, basis=None):
    return ReportLine(Quantity(quantity), value, unit, basis)


@pytest.mark.parametrize(
    ("quantity", "accepted"),
    [
        ("alkalinity", ("CaCO3", "HCO3")),
        ("sulfate", ("ion", "S")),
        ("nitrate", ("ion", "N")),
        ("total_hardness", ("CaCO3",)),
    ],
)
@pytest.mark.parametrize("unit", [ReportUnit.MG_L, ReportUnit.PPM])
def test_a_mass_without_its_basis_is_refused_with_what_would_settle_it(quantity, accepted, unit):
    with pytest.raises(AmbiguousBasisError) as refused:
        line_meq_l(line(quantity, 120.0, unit))
    assert refused.value.quantity == quantity
    assert refused.value.accepted == accepted


@pytest.mark.parametrize("unit", [ReportUnit.MEQ_L, ReportUnit.GERMAN_DEGREES])
def test_equivalents_and_degrees_need_no_basis(unit):
    assert line_meq_l(line("alkalinity", 5.0, unit)) > 0.0


def test_one_water_reads_the_same_in_every_unit():
    as_ions = water_from_report(
        [
            line("calcium", 40.078),
            line("magnesium", 24.305),
            line("sodium", 22.990),
            line("sulfate", 96.056, basis=Basis.ION),
            line("nitrate", 62.004, basis=Basis.ION),
            line("alkalinity", 2.0, ReportUnit.MEQ_L),
        ]
    )
    otherwise = water_from_report(
        [
            line("calcium", 2.0, ReportUnit.MEQ_L),
            line("sodium", 1.0, ReportUnit.MMOL_L),
            line("total_hardness", 2.0, ReportUnit.MMOL_L),
            line("sulfate", 32.06, basis=Basis.SULFUR),
            line("nitrate", 14.007, basis=Basis.NITROGEN),
            line("alkalinity", 100.086, basis=Basis.CALCIUM_CARBONATE),
        ]
    )
    for name in (
        "calcium_mg_l",
        "magnesium_mg_l",
        "sodium_mg_l",
        "sulfate_mg_l",
        "nitrate_mg_l",
        "alkalinity_meq_l",
    ):
        assert getattr(otherwise, name) == pytest.approx(getattr(as_ions, name), rel=2e-4)


def test_magnesium_follows_from_total_hardness_and_calcium():
    # 311.5 mg/L of hardness as CaCO3 is Ca 100 and Mg 15, by hand
    water = water_from_report(
        [line("calcium", 100.0), line("total_hardness", 311.5, basis=Basis.CALCIUM_CARBONATE)]
    )
    assert water.magnesium_mg_l == pytest.approx(15.0, abs=0.02)


def test_carbonate_counts_with_bicarbonate():
    water = water_from_report(
        [
            line("alkalinity", 61.016, basis=Basis.BICARBONATE),
            line("carbonate", 30.004, basis=Basis.ION),
        ]
    )
    assert water.alkalinity_meq_l == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("lines", "what"),
    [
        ([line("sodium", 10.0), line("sodium", 11.0)], "twice"),
        ([line("total_hardness", 100.0, ReportUnit.FRENCH_DEGREES)], "how much of it"),
        (
            [line("calcium", 100.0), line("total_hardness", 5.0, ReportUnit.FRENCH_DEGREES)],
            "more than the total",
        ),
        (
            [
                line("carbonate", 5.0, basis=Basis.ION),
                line("alkalinity", 90.0, basis=Basis.CALCIUM_CARBONATE),
            ],
            "beside bicarbonate",
        ),
    ],
)
def test_a_report_that_contradicts_itself_is_refused(lines, what):
    with pytest.raises(UnreadableReportError, match=what):
        water_from_report(lines)


@pytest.mark.parametrize(
    "nonsense",
    [
        line("chloride", 5.0, ReportUnit.GERMAN_DEGREES),
        line("sodium", 5.0, basis=Basis.NITROGEN),
        line("alkalinity", 5.0, basis=Basis.SULFUR),
    ],
)
def test_a_unit_that_makes_no_sense_for_the_ion_is_refused(nonsense):
    with pytest.raises(UnreadableReportError):
        line_meq_l(nonsense)


@pytest.mark.parametrize("value", [-1.0, float("nan"), 1e5])
def test_a_number_that_no_water_has_is_refused(value):
    with pytest.raises(OutOfRangeError):
        line_meq_l(line("sodium", value))
