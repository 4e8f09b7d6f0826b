"""Who asks: the kinds of key, how one is minted, read and compared, and the caller it stands for.

A key is ``ww_<kind>_<public id>_<secret>``. The public id is the id of the key's row in plain
hexadecimal; the secret, 256 random bits, is kept only as its HMAC-SHA-256 under a pepper that is
not in the database. A slow password hash would add nothing to a secret of that size and would
let anyone make the service busy. When the pepper is changed, a key is hashed with the new one the
next time it is used.
"""

import hashlib
import hmac
import re
import secrets
from dataclasses import dataclass, field
from enum import StrEnum
from uuid import UUID

from uuid6 import uuid7


class KeyKind(StrEnum):
    """What a key is for; ``link`` is the token inside a page's address."""

    CLUB = "club"
    BREWER = "brewer"
    PAGE = "page"
    LINK = "link"


class UnknownKeyError(Exception):
    """The key is malformed, unknown, wrong, revoked or expired; the caller is not told which."""

    def __init__(self) -> None:
        super().__init__("The key is not known, has expired or was revoked.")


@dataclass(frozen=True, slots=True)
class Caller:
    """Who asks, once their key has been found.

    ``brewer_id`` is None for a club key. ``origins`` are the web origins to which a page key is
    held; empty leaves every origin that the installation allows. ``units`` is the brewer's own
    choice of units ("metric", "us" or "imperial"), None for base units. ``opens`` and
    ``opens_id`` name the one thing that a link opens.
    """

    club_id: UUID
    kind: KeyKind
    key_id: UUID
    brewer_id: UUID | None = None
    origins: frozenset[str] = frozenset()
    units: str | None = None
    opens: str | None = None
    opens_id: UUID | None = None


@dataclass(frozen=True, slots=True)
class PresentedKey:
    """A key as presented, well formed and already hashed: nothing here can leak the secret."""

    kind: KeyKind
    key_id: UUID
    secret_hash: str = field(repr=False)
    older_hashes: tuple[str, ...] = field(default=(), repr=False)

    def fits(self, kept: str) -> bool:
        """Tell whether the secret is the one kept, under any pepper; each is always compared."""
        hashes = (self.secret_hash, *self.older_hashes)
        return any([same_hash(kept, presented) for presented in hashes])


@dataclass(frozen=True, slots=True)
class MintedKey:
    """A new key. ``text`` is shown once and kept nowhere; its row keeps the other two."""

    key_id: UUID
    secret_hash: str = field(repr=False)
    text: str = field(repr=False)


_KEY = re.compile(r"ww_(club|brewer|page|link)_([0-9a-f]{32})_([0-9a-f]{64})")


def mint_secret() -> str:
    """Return 256 random bits as 64 hexadecimal digits."""
    return secrets.token_hex(32)


def hash_secret(secret: str, pepper: str) -> str:
    """Return the HMAC-SHA-256 of a secret under the pepper, as 64 hexadecimal digits."""
    return hmac.new(pepper.encode(), secret.encode(), hashlib.sha256).hexdigest()


def same_hash(kept: str, presented: str) -> bool:
    """Compare two secret hashes in time that does not depend on where they differ."""
    return hmac.compare_digest(kept.encode(), presented.encode())


def mint_key(kind: KeyKind, pepper: str) -> MintedKey:
    """Make a new key of the given kind; its row takes ``key_id`` for its id."""
    key_id, secret = UUID(int=uuid7().int), mint_secret()
    return MintedKey(key_id, hash_secret(secret, pepper), f"ww_{kind}_{key_id.hex}_{secret}")


def read_key(text: str, pepper: str, *older: str) -> PresentedKey:
    """Read a key as presented; its secret may have been kept under an older pepper.

    Raises
    ------
    UnknownKeyError
        If the text does not have the form of a key.
    """
    found = _KEY.fullmatch(text)
    if found is None:
        raise UnknownKeyError
    kind, public_id, secret = found.groups()
    secret_hash, *older_hashes = (hash_secret(secret, one) for one in (pepper, *older))
    return PresentedKey(KeyKind(kind), UUID(public_id), secret_hash, tuple(older_hashes))
