"""Whether requests can be served, found out within the time that a probe waits."""

from concurrent.futures import Future
from threading import Lock, Thread

from flask import Flask

from wortwright.store.database import Database, DatabaseUnavailableError

# A probe is answered within a second, whatever the database does.
_PATIENCE_S = 0.8
_READINESS = "wortwright.readiness"


class Readiness:
    """Looks at the database from a thread of its own: one look at a time, however long it takes.

    Probes that come while a look hangs wait for that one; no second is begun.
    """

    def __init__(self, database: Database) -> None:
        self._database = database
        self._lock = Lock()
        self._look: Future[bool] | None = None

    def is_migrated(self) -> bool:
        """Tell whether the database answers with the tables of this version.

        Raises
        ------
        DatabaseUnavailableError
            If the database cannot be used, or does not answer soon enough.
        """
        try:
            return self._present_look().result(_PATIENCE_S)
        except TimeoutError as error:
            raise DatabaseUnavailableError("The database does not answer in time.") from error

    def _present_look(self) -> Future[bool]:
        with self._lock:
            if self._look is None or self._look.done():
                self._look = Future()
                Thread(target=self._run, args=(self._look,), daemon=True).start()
            return self._look

    def _run(self, look: Future[bool]) -> None:
        try:
            self._database.ping()
            look.set_result(self._database.is_migrated())
        except Exception as error:
            look.set_exception(error)


def init_app(app: Flask, database: Database) -> None:
    """Give the application somebody to look after its database."""
    app.extensions[_READINESS] = Readiness(database)


def of(app: Flask) -> Readiness:
    """Give whoever looks after the application's database."""
    found: Readiness = app.extensions[_READINESS]
    return found
