"""Pages from templates: nothing that is put into one is taken for markup."""

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape

from wortwright.pages.amounts import amount, ends, percent, unit_word
from wortwright.pages.wording import WHERE, day_of, hop_moment

_TEMPLATES = Environment(
    loader=PackageLoader("wortwright.pages"),
    autoescape=select_autoescape(default=True),
    trim_blocks=True,
    lstrip_blocks=True,
    undefined=StrictUndefined,
)
_TEMPLATES.globals.update(
    amount=amount,
    ends=ends,
    percent=percent,
    unit_word=unit_word,
    hop_moment=hop_moment,
    day_of=day_of,
    where=WHERE,
)


def render(template: str, *, nonce: str, **values: object) -> str:
    """Write a page.

    Parameters
    ----------
    template : str
        Its file.
    nonce : str
        Of the page's content security policy, for its one style.
    **values
        What the page tells.

    Returns
    -------
    str
        HTML.
    """
    return write_template(template, nonce=nonce, **values)


def write_template(template: str, **values: object) -> str:
    """Write a page that has no style of its own."""
    return _TEMPLATES.get_template(template).render(**values)
