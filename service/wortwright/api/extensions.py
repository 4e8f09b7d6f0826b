"""What the application carries: its settings, its database, its limiter."""

from typing import cast

from flask import current_app

from wortwright.settings import Settings
from wortwright.store.database import Database

SETTINGS = "wortwright.settings"
DATABASE = "wortwright.database"


def settings() -> Settings:
    """Give the settings of the current application."""
    return cast(Settings, current_app.extensions[SETTINGS])


def database() -> Database:
    """Give the database of the current application."""
    return cast(Database, current_app.extensions[DATABASE])
