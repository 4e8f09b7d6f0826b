"""What a database holds, in a few figures: equal figures, equal contents."""

import hashlib
from collections.abc import Mapping

from sqlalchemy import inspect, text

from wortwright.store.database import Tx

_AT_ONCE = 500


def digests(tx: Tx) -> Mapping[str, str]:
    """Give, for every table, the number of its rows and a hash that knows no order of them.

    The tables are those found, so that a backup of an older version can be checked too. Figures
    of SQLite and of PostgreSQL cannot be compared with each other.
    """
    names = inspect(tx.connection()).get_table_names()
    return {name: _digest(tx, name) for name in sorted(names)}


def _digest(tx: Tx, table: str) -> str:
    count = total = 0
    asked = text(f'SELECT * FROM "{table}"').execution_options(yield_per=_AT_ONCE)
    for row in tx.execute(asked):
        count += 1
        total += int.from_bytes(hashlib.sha256(repr(tuple(row)).encode()).digest())
    return f"{count} rows, {total % 2**256:064x}"
