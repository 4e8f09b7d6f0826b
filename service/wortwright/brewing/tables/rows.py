"""Reading the published tables that ship with the science."""

from csv import DictReader
from functools import cache
from importlib.resources import files


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Rows of one shipped table, keyed by its headings.

    Parameters
    ----------
    name : str
        File name inside this folder, e.g. ``"salts.csv"``.

    Returns
    -------
    tuple of dict
        One dictionary a row, every value still text.
    """
    text = files(__package__).joinpath(name).read_text(encoding="utf-8")
    return tuple(DictReader(text.splitlines()))
