"""Conversions: a calculation, nothing of which is stored."""

from typing import Any

from wortwright.api import calculation_examples as examples
from wortwright.api.auth import requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.shapes.conversion import ConversionIn, ConversionOut
from wortwright.units import Dimension, QuantityError, from_base, symbols

blueprint = Blueprint(
    "conversions",
    __name__,
    url_prefix="/v1/conversions",
    description="Quantities in every unit that brewers write; nothing is stored.",
)


@blueprint.route("", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(ConversionIn(), example=examples.CONVERSION)
@blueprint.response(200, ConversionOut())
def compute_conversion(asked: tuple[Dimension, float]) -> dict[str, Any]:
    """Give a quantity in every unit of its dimension."""
    dimension, base = asked
    quantities = []
    for unit in symbols(dimension):
        try:
            value = from_base(base, unit, dimension)
        except QuantityError:
            continue
        quantities.append({"value": float(f"{value:.12g}"), "unit": unit})
    return {"dimension": dimension, "quantities": quantities}
