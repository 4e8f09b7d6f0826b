"""The way in for servers with worker processes.

    granian --interface wsgi --factory wortwright.wsgi:make_app --workers 2

Settings come from the environment. The database must have been brought up to date, once, by
``wortwright migrate``: workers start side by side and do not do it themselves.
"""

from flask import Flask

from wortwright.api.app import create_app
from wortwright.settings import Settings
from wortwright.warming import warm


def make_app() -> Flask:
    """Put the application of one worker together, ready to fit at once."""
    app = create_app(Settings.from_environment())
    warm()
    return app
