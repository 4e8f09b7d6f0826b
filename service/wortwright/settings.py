"""What an installation may decide, read from the environment here and nowhere else."""

import logging
import os
import re
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from ipaddress import IPv4Network, IPv6Network, ip_network
from pathlib import Path
from typing import Any

import limits

Network = IPv4Network | IPv6Network

SQLITE_FILE = "sqlite:///"
_DEFAULT_DATABASE = f"{SQLITE_FILE}wortwright.sqlite3"
_LOOPBACK = (ip_network("127.0.0.0/8"), ip_network("::1/128"))
_DATABASE = re.compile(r"(sqlite|postgres(ql)?(\+[a-z0-9]+)?)://")
_ORIGIN = re.compile(r"https?://[a-z0-9.-]+(:[0-9]{1,5})?")


class SettingsError(Exception):
    """The environment says something this service cannot work with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """The settings of one installation.

    Parameters
    ----------
    pepper : str
        What secrets are hashed with besides themselves; 32 characters or more.
    older_peppers : tuple of str
        Peppers of before: keys hashed with one are still known, and hashed anew when used.
    database_url : str
        SQLAlchemy address of the database.
    max_body_bytes : int
        Larger request bodies are refused with 413. [byte]
    rate_limit : str
        Requests allowed per key (or per address without one), in words: "600 per minute".
    failed_key_limit : str
        Wrong keys allowed per address, in the same words.
    rate_limit_storage : str
        Where counts are kept; "memory://" counts in each worker process by itself.
    allowed_origins : tuple of str
        Web origins whose pages may call the service from a browser.
    trusted_proxies : int
        How many reverse proxies in front of the service may name the caller's address.
    metrics_from : tuple of networks
        Addresses that may read /metrics.
    metrics_directory : str or None
        Directory shared by the worker processes' counters, None with a single process.
    log_level : str
        Least severe level that is logged.
    """

    pepper: str = field(repr=False)
    older_peppers: tuple[str, ...] = field(default=(), repr=False)
    database_url: str = field(default=_DEFAULT_DATABASE, repr=False)
    max_body_bytes: int = 256 * 1024
    rate_limit: str = "600 per minute"
    failed_key_limit: str = "20 per minute"
    rate_limit_storage: str = field(default="memory://", repr=False)
    allowed_origins: tuple[str, ...] = ()
    trusted_proxies: int = 0
    metrics_from: tuple[Network, ...] = _LOOPBACK
    metrics_directory: str | None = None
    log_level: str = "info"

    def __post_init__(self) -> None:
        if len(self.pepper) < 32:
            raise SettingsError("WORTWRIGHT_PEPPER must be 32 characters or more.")
        if any(len(older) < 32 for older in self.older_peppers):
            raise SettingsError("WORTWRIGHT_OLDER_PEPPERS must have 32 characters or more each.")

    @property
    def peppers(self) -> tuple[str, ...]:
        """The pepper that secrets are hashed with now, and after it those of before."""
        return (self.pepper, *self.older_peppers)

    @classmethod
    def from_environment(cls, environ: Mapping[str, str] | None = None) -> "Settings":
        """Read the settings from ``WORTWRIGHT_<NAME>`` variables; lists are comma-separated.

        The pepper may also be in a file named by ``WORTWRIGHT_PEPPER_FILE``, older ones in
        further lines of it. With neither, and SQLite in a file, such a file is made on first use
        and kept beside the database.

        Raises
        ------
        SettingsError
            If a variable does not hold what it should, or there is no pepper.
        """
        environ = os.environ if environ is None else environ
        values = {
            setting.name: _read(setting.name, environ[_variable(setting.name)])
            for setting in fields(cls)
            if environ.get(_variable(setting.name))
        }
        if "pepper" not in values:
            database_url = str(values.get("database_url", _DEFAULT_DATABASE))
            file = _pepper_file(environ.get("WORTWRIGHT_PEPPER_FILE"), database_url)
            pepper, *older = _listed(_text_of(file), "\n") or ("",)
            values["pepper"] = pepper
            values["older_peppers"] = (*older, *values.get("older_peppers", ()))
        return cls(**values)


def _variable(name: str) -> str:
    # prometheus-client reads this one itself, under its own name.
    return (
        "PROMETHEUS_MULTIPROC_DIR" if name == "metrics_directory" else f"WORTWRIGHT_{name.upper()}"
    )


def _origins(text: str) -> tuple[str, ...]:
    for origin in _listed(text):
        if not _ORIGIN.fullmatch(origin):
            raise ValueError(f"{origin!r} is not a web origin such as https://club.example")
    return _listed(text)


def _database_url(text: str) -> str:
    if not _DATABASE.match(text):
        # What was written there may hold a password.
        raise ValueError("it must begin with sqlite:/// or postgresql://")
    return text


def _rate(text: str) -> str:
    if len(limits.parse_many(text)) != 1:
        raise ValueError(f"{text!r} is not one rate such as 600 per minute")
    return text


def _level(text: str) -> str:
    if text.upper() not in logging.getLevelNamesMapping():
        raise ValueError(f"{text!r} is not one of debug, info, warning, error, critical")
    return text


def _listed(text: str, separator: str = ",") -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(separator) if part.strip())


_READERS: Mapping[str, Callable[[str], Any]] = {
    "database_url": _database_url,
    "max_body_bytes": int,
    "trusted_proxies": int,
    "allowed_origins": _origins,
    "older_peppers": _listed,
    "rate_limit": _rate,
    "failed_key_limit": _rate,
    "log_level": _level,
    "metrics_from": lambda text: tuple(ip_network(part) for part in _listed(text)),
}


def _read(name: str, text: str) -> Any:
    try:
        return _READERS.get(name, str)(text)
    except ValueError as error:
        raise SettingsError(f"{_variable(name)}: {error}") from error


def _pepper_file(named: str | None, database_url: str) -> Path:
    if named is not None:
        return Path(named)
    if not database_url.startswith(SQLITE_FILE) or database_url == SQLITE_FILE:
        raise SettingsError(
            "Set WORTWRIGHT_PEPPER, 32 characters or more that nobody can guess, or "
            "WORTWRIGHT_PEPPER_FILE, the name of a file that holds them. Keys are hashed with it."
        )
    beside = Path(database_url.removeprefix(SQLITE_FILE).partition("?")[0] + ".pepper")
    try:
        made = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return beside
    except OSError as error:
        raise SettingsError(f"{beside} cannot be made: {error.strerror}.") from error
    with os.fdopen(made, "w") as file:
        file.write(secrets.token_hex(32))
    return beside


def _text_of(file: Path) -> str:
    try:
        return file.read_text()
    except OSError as error:
        raise SettingsError(f"{file}, the file of the pepper: {error.strerror}.") from error
