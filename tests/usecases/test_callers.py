from collections.abc import Callable

import pytest

from wortwright.usecases.callers import (
    KeyKind,
    UnknownKeyError,
    hash_secret,
    mint_key,
    mint_secret,
    read_key,
    same_hash,
)

PEPPER = "a pepper that is only good for tests"


def test_hash_is_hmac_sha_256() -> None:
    """RFC 4231, section 4.3 (test case 2)."""
    expected = "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"
    assert hash_secret("what do ya want for nothing?", "Jefe") == expected


def test_secret_holds_256_bits_and_is_never_the_same() -> None:
    secrets = {mint_secret() for _ in range(100)}
    assert len(secrets) == 100
    assert {len(bytes.fromhex(secret)) for secret in secrets} == {32}


@pytest.mark.parametrize("kind", KeyKind)
def test_minted_key_is_read_as_what_it_is(kind: KeyKind) -> None:
    minted = mint_key(kind, PEPPER)
    presented = read_key(minted.text, PEPPER)
    assert presented.kind is kind
    assert presented.key_id == minted.key_id
    assert same_hash(minted.secret_hash, presented.secret_hash)


def test_another_pepper_or_secret_gives_another_hash() -> None:
    minted = mint_key(KeyKind.CLUB, PEPPER)
    other = mint_key(KeyKind.CLUB, PEPPER)
    assert not same_hash(minted.secret_hash, read_key(minted.text, "other").secret_hash)
    assert not same_hash(minted.secret_hash, read_key(other.text, PEPPER).secret_hash)


@pytest.mark.parametrize(
    "spoil",
    [
        lambda text: "",
        lambda text: text + "\n",
        lambda text: " " + text,
        lambda text: text.replace("club", "king"),
        lambda text: text.replace("ww_", "xx_"),
        lambda text: text.upper(),
        lambda text: text[:-1],
        lambda text: text.replace("_", "-"),
        lambda text: text[:-1] + "\u0661",
    ],
)
def test_text_that_is_no_key_is_unknown(spoil: Callable[[str], str]) -> None:
    with pytest.raises(UnknownKeyError):
        read_key(spoil(mint_key(KeyKind.CLUB, PEPPER).text), PEPPER)


def test_minted_key_does_not_show_its_secret() -> None:
    minted = mint_key(KeyKind.CLUB, PEPPER)
    assert minted.text not in repr(minted)
    assert minted.secret_hash not in repr(minted)
