"""What the science refuses: a number outside the range for which its formula holds."""


class OutOfRangeError(ValueError):
    """A quantity lies outside the range for which a formula is valid.

    Parameters
    ----------
    quantity : str
        What was asked about, in the trade's words, e.g. ``"gravity"``.
    value : float
        The number that was given, in base units.
    range_words : str
        What would have been accepted, with a place for each end, e.g. ``"{} to {}"``.
    ends : tuple of float
        The ends, in base units.
    unit : str
        Symbol of the base unit.
    """

    def __init__(
        self,
        quantity: str,
        value: float,
        range_words: str,
        ends: tuple[float, ...] = (),
        unit: str = "",
    ) -> None:
        accepted = range_words.format(*(f"{end:g}" for end in ends))
        self.accepted = f"{accepted} {unit}".rstrip()
        super().__init__(f"{quantity} {value:g} is outside {self.accepted}")
        self.quantity = quantity
        self.value = value
        self.range_words = range_words
        self.ends = ends
        self.unit = unit


def require_between(quantity: str, value: float, low: float, high: float, unit: str = "") -> None:
    """Refuse a value outside a closed range; nan is always outside.

    Parameters
    ----------
    quantity : str
        Name used in the message.
    value, low, high : float
        The value and its bounds, in one base unit.
    unit : str
        Symbol of that unit for the message.

    Raises
    ------
    OutOfRangeError
        If not ``low <= value <= high``.
    """
    if not low <= value <= high:
        raise OutOfRangeError(quantity, value, "{} to {}", (low, high), unit)


def require_positive(quantity: str, value: float, unit: str = "") -> None:
    """Refuse zero, a negative number, nan and infinity.

    Parameters
    ----------
    quantity : str
        Name used in the message.
    value : float
        The value in a base unit.
    unit : str
        Symbol of that unit for the message.

    Raises
    ------
    OutOfRangeError
        If not ``0 < value < inf``.
    """
    if not 0.0 < value < float("inf"):
        raise OutOfRangeError(quantity, value, "above {}", (0.0,), unit)
