import pytest

from wortwright.pages.amounts import amount, between, number_of, percent


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        (4.531, "kg", "4.53 kg"),
        (39.2, "g", "39 g"),
        (3.76, "g", "3.8 g"),
        (1.0624, "SG", "1.062"),
        (0.7123, "fraction", "71.2 %"),
        (66.04, "degC", "66.0 °C"),
        (149.2, "degF", "149 °F"),
        (5.536, "US gal", "5.54 US gal"),
        (3.0716, "L/h", "3.07 L/h"),
        (0.25, None, "0.25"),
    ],
)
def test_a_quantity_is_written_as_its_instrument_reads(
    value: float, unit: str | None, said: str
) -> None:
    assert amount({"value": value, "unit": unit}) == said


def test_a_range_has_its_unit_once() -> None:
    low, high = ({"value": value, "unit": "L"} for value in (0.78, 1.31))
    assert between(low, high) == "0.8 to 1.3 L"
    shares = [{"value": value, "unit": "fraction"} for value in (0.915, 0.94)]
    assert between(*shares) == "91.5 to 94.0 %"


def test_percent_is_a_fraction_or_given_so() -> None:
    assert percent({"value": 7.5, "unit": "%"}) == percent({"value": 0.075, "unit": "fraction"})


def test_a_number_alone_has_no_unit() -> None:
    assert number_of({"value": 17.84, "unit": "L"}) == "17.8"
