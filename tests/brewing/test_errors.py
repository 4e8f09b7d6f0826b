import math

import pytest

from wortwright.brewing.errors import OutOfRangeError, require_between, require_positive


def test_an_error_carries_what_was_wrong_and_what_would_do():
    error = OutOfRangeError("gravity", 65.0, "0.97 to 1.19 SG")
    assert (error.quantity, error.value, error.accepted) == ("gravity", 65.0, "0.97 to 1.19 SG")
    assert str(error) == "gravity 65 is outside 0.97 to 1.19 SG"


@pytest.mark.parametrize("value", [-0.1, 1.1, math.nan, math.inf, -math.inf])
def test_require_between_refuses_what_is_outside(value):
    with pytest.raises(OutOfRangeError):
        require_between("share", value, 0.0, 1.0)


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_require_positive_refuses_nothing_and_the_infinite(value):
    with pytest.raises(OutOfRangeError):
        require_positive("volume", value, "L")


def test_bounds_themselves_are_accepted():
    require_between("share", 0.0, 0.0, 1.0)
    require_between("share", 1.0, 0.0, 1.0)
    require_positive("volume", 5e-324, "L")
