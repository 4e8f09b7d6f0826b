"""The way in for servers with worker processes.

    granian --interface wsgi --factory wortwright.wsgi:make_app --workers 2

Settings come from the environment. The database must have been brought up to date, once, by
``wortwright migrate``: workers start side by side and do not do it themselves.
"""

from flask import Flask

from wortwright.api.app import create_app
from wortwright.settings import Settings


def make_app() -> Flask:
    """Put the application of one worker together, ready to fit at once."""
    _load_what_fits()
    return create_app(Settings.from_environment())


def _load_what_fits() -> None:
    # Half a second that no request should wait for; nothing is served before.
    import sklearn.linear_model  # noqa: F401
