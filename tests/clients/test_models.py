import json
from dataclasses import FrozenInstanceError
from datetime import UTC, date, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.api import examples
from wortwright.units import Dimension, number_and_unit, to_base
from wortwright_client import Client, Forecast, Interval, Quantity
from wortwright_client._reading import as_json
from wortwright_client.models.people import Key
from wortwright_client.models.scalings import ComputedScaling

KEY: dict[str, Any] = {
    "id": "x",
    "created_at": "2026-03-07T10:00:00Z",
    "updated_at": "2026-03-07T10:00:00.250000Z",
    "kind": "page",
    "name": "site",
    "origins": ["https://club.example"],
    "last_used_on": "2026-03-08",
}


def with_strangers(document: Any) -> Any:
    """Put a field that no version knows into every object."""
    if isinstance(document, list):
        return [with_strangers(item) for item in document]
    if isinstance(document, dict):
        return {k: with_strangers(v) for k, v in document.items()} | {"stranger": [1, {"a": None}]}
    return document


def test_fields_to_come_break_nothing(club: Client) -> None:
    answer = club._connection.send(
        "POST", "/v1/scalings", query={"store": "false"}, document=examples.SCALING
    ).document
    known = ComputedScaling.from_dict(answer)
    assert ComputedScaling.from_dict(with_strangers(answer)) == known
    assert known.plan.grist[0].to_weigh.value > 0


def test_fields_are_read_as_what_they_are() -> None:
    key = Key.from_dict(KEY)
    assert key.created_at == datetime(2026, 3, 7, 10, tzinfo=UTC)
    assert key.updated_at.microsecond == 250_000
    assert key.last_used_on == date(2026, 3, 8)
    assert key.origins == ("https://club.example",)
    assert key.brewer_id is None


@pytest.mark.parametrize("missing", ["id", "created_at", "kind", "origins"])
def test_field_that_is_always_told_may_not_be_missing(missing: str) -> None:
    with pytest.raises(TypeError, match=missing):
        Key.from_dict({k: v for k, v in KEY.items() if k != missing})


def test_answers_cannot_be_changed() -> None:
    with pytest.raises(FrozenInstanceError):
        Key.from_dict(KEY).name = "other"  # type: ignore[misc]


@given(
    value=st.floats(min_value=0.0, max_value=1e6),
    unit=st.sampled_from(["kg", "g", "lb", "oz"]),
)
def test_text_of_a_quantity_is_taken_by_the_service(value: float, unit: str) -> None:
    written = str(Quantity(value=value, unit=unit))
    read = to_base(*number_and_unit(written, Dimension.MASS), Dimension.MASS)
    exact = to_base(value, unit, Dimension.MASS)
    # Six digits are written: half a unit of the sixth.
    assert read == pytest.approx(exact, rel=5e-6, abs=1e-300)


def test_forecast_reads_as_a_sentence() -> None:
    low, mean, high = (Quantity(value=one, unit="SG") for one in (1.0612, 1.065, 1.0694))
    forecast = Forecast(mean=mean, interval_80=Interval(low=low, high=high))
    assert str(forecast) == "1.065 SG (1.061 to 1.069)"


def test_quantities_and_forecasts_are_rounded_for_a_person() -> None:
    low, mean, high = (Quantity(value=one, unit="fraction") for one in (0.6423, 0.6603, 0.6791))
    assert f"{Quantity(value=20.8865, unit='L'):.1f}" == "20.9 L"
    assert f"{mean:.0%}" == "66%"
    assert f"{Forecast(mean=mean, interval_80=Interval(low=low, high=high)):.0%}" == (
        "66% (64% to 68%)"
    )
    assert f"{mean}" == "0.6603 fraction"


def test_quantities_and_times_are_written_as_json() -> None:
    sent = json.dumps(
        [Quantity(value=4.5, unit="kg"), datetime(2026, 3, 7, tzinfo=UTC)], default=as_json
    )
    assert json.loads(sent) == [{"value": 4.5, "unit": "kg"}, "2026-03-07T00:00:00+00:00"]
    with pytest.raises(TypeError, match="set cannot be sent"):
        json.dumps({1}, default=as_json)
