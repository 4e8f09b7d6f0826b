"""Answers kept so that a request sent twice takes effect once."""

import hashlib
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from sqlalchemy import delete, func, select
from sqlalchemy.exc import IntegrityError

from wortwright.store.database import Tx
from wortwright.store.models import IdempotencyRow


@dataclass(frozen=True, slots=True)
class KeptAnswer:
    """An answer as it went out, and the fingerprint of the request it answered."""

    fingerprint: str
    status: int
    headers: dict[str, str]
    body: bytes


class IdempotencyKeyBusyError(RuntimeError):
    """Another request with the same key is being answered at this moment."""


def claim(tx: Tx, *, club_id: UUID, route: str, key: str) -> None:
    """Keep other requests of the same key out until this transaction ends.

    Without it the second of two could wait for a row of the first, find its work already done
    and answer with a conflict that the first one's answer would have spared it.
    """
    if tx.get_bind().dialect.name == "sqlite":
        return  # has one writer at a time
    digest = hashlib.sha256(f"{club_id} {route} {key}".encode()).digest()
    number = int.from_bytes(digest[:8], signed=True)
    if not tx.scalar(select(func.pg_try_advisory_xact_lock(number))):
        raise IdempotencyKeyBusyError("This key is in use by another request.")


def find(tx: Tx, *, club_id: UUID, route: str, key: str) -> KeptAnswer | None:
    """Find the answer kept for a key, or None."""
    row = tx.get(IdempotencyRow, (club_id, route, key))
    if row is None:
        return None
    return KeptAnswer(row.fingerprint, row.status, dict(row.headers), row.body)


def keep(tx: Tx, *, club_id: UUID, route: str, key: str, answer: KeptAnswer) -> None:
    """Keep an answer in the transaction of its effect."""
    tx.add(
        IdempotencyRow(
            club_id=club_id,
            route=route,
            key=key,
            fingerprint=answer.fingerprint,
            status=answer.status,
            headers=answer.headers,
            body=answer.body,
        )
    )
    try:
        tx.flush()
    except IntegrityError as error:
        raise IdempotencyKeyBusyError("This key is in use by another request.") from error


def forget(tx: Tx, *, before: datetime) -> None:
    """Drop the answers kept before a moment."""
    tx.execute(delete(IdempotencyRow).where(IdempotencyRow.kept_at < before))
