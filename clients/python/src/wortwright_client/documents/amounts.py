"""Amounts, times and units as they are sent.

An amount is a text such as ``"20 lb"``, a `Quantity` out of an answer, or ``{"value": 20,
"unit": "lb"}``; a gravity may also be a bare specific gravity such as ``1.044``. Times are aware
`datetime` objects or RFC 3339 texts.
"""

from datetime import datetime
from typing import Literal, TypeAlias, TypedDict

from wortwright_client.quantities import Quantity


class QuantityDocument(TypedDict):
    """A number with its unit."""

    value: float
    unit: str


Amount: TypeAlias = str | Quantity | QuantityDocument
Gravity: TypeAlias = Amount | float
Timestamp: TypeAlias = str | datetime
Units: TypeAlias = Literal["metric", "us", "imperial"]
