from datetime import timedelta

import pytest

from usecases.house import PEPPER, House
from wortwright.store import keys as kept
from wortwright.store.clock import now
from wortwright.usecases.callers import KeyKind, UnknownKeyError, read_key
from wortwright.usecases.keys import (
    KeyAsked,
    KeyAskedError,
    caller_for,
    create_key,
    list_keys,
    revoke_key,
)
from wortwright.usecases.rights import NotAllowedError

NEW_PEPPER = "the pepper after this one, also for tests"


def test_a_key_opens_for_whom_it_was_minted(house: House) -> None:
    caller = house.as_brewer()
    assert (caller.club_id, caller.brewer_id) == (house.club.id, house.brewer.id)
    assert (caller.kind, caller.units) == (KeyKind.BREWER, "metric")


def test_the_secret_of_a_key_is_nowhere_in_the_database(house: House) -> None:
    secret = house.club_key.rpartition("_")[2]
    with house.database.read() as tx:
        key = kept.find(tx, house.caller.key_id)
    assert key is not None
    assert secret not in repr(key)
    assert len(key.value.secret_hash) == 64


def test_a_revoked_key_opens_nothing(house: House) -> None:
    minted = create_key(house.work, KeyAsked(KeyKind.CLUB, "second"), PEPPER)
    presented = read_key(minted.text, PEPPER)
    caller_for(house.database, presented)
    revoke_key(house.work, minted.stored.id)
    with pytest.raises(UnknownKeyError):
        caller_for(house.database, presented)


def test_an_expired_key_opens_nothing(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = KeyAsked(KeyKind.PAGE, "page", house.brewer.id)
    presented = read_key(create_key(house.work, asked, PEPPER).text, PEPPER)
    caller_for(house.database, presented)
    later = now() + timedelta(hours=8, minutes=1)
    monkeypatch.setattr("wortwright.usecases.keys.now", lambda: later)
    with pytest.raises(UnknownKeyError):
        caller_for(house.database, presented)


def test_a_key_with_another_secret_or_pepper_opens_nothing(house: House) -> None:
    head, _, secret = house.club_key.rpartition("_")
    wrong = f"{head}_{secret[::-1]}"
    for text, pepper in ((wrong, PEPPER), (house.club_key, PEPPER + "!")):
        with pytest.raises(UnknownKeyError):
            caller_for(house.database, read_key(text, pepper))


def test_after_a_change_of_pepper_a_key_opens_and_from_then_on_needs_the_new_one_only(
    house: House,
) -> None:
    used, unused = (
        create_key(house.work, KeyAsked(KeyKind.CLUB, name), PEPPER).text for name in ("a", "b")
    )
    caller = caller_for(house.database, read_key(used, NEW_PEPPER, "x" * 32, PEPPER))
    assert caller_for(house.database, read_key(used, NEW_PEPPER)) == caller
    for text, peppers in ((used, [PEPPER]), (unused, [NEW_PEPPER]), (unused, [NEW_PEPPER, "x"])):
        with pytest.raises(UnknownKeyError):
            caller_for(house.database, read_key(text, *peppers))
    assert caller_for(house.database, read_key(unused, PEPPER)).club_id == house.club.id


def test_a_wrong_secret_is_no_better_for_older_peppers_and_is_not_kept(house: House) -> None:
    head, _, secret = house.club_key.rpartition("_")
    with pytest.raises(UnknownKeyError):
        caller_for(house.database, read_key(f"{head}_{secret[::-1]}", NEW_PEPPER, PEPPER))
    assert caller_for(house.database, read_key(house.club_key, PEPPER)) == house.caller


def test_a_key_presented_as_another_kind_opens_nothing(house: House) -> None:
    asked = KeyAsked(KeyKind.BREWER, "script", house.brewer.id)
    text = create_key(house.work, asked, PEPPER).text.replace("ww_brewer_", "ww_club_")
    with pytest.raises(UnknownKeyError):
        caller_for(house.database, read_key(text, PEPPER))


def test_the_day_of_last_use_is_noted_and_changes_no_version(house: House) -> None:
    with house.database.read() as tx:
        key = kept.find(tx, house.caller.key_id)
    assert key is not None
    assert key.value.last_used_on == now().date()
    assert key.version == 1


def test_a_page_key_lives_for_hours(house: House) -> None:
    asked = KeyAsked(KeyKind.PAGE, "page", house.brewer.id)
    expires_at = create_key(house.work, asked, PEPPER).stored.value.expires_at
    assert expires_at is not None
    assert timedelta(hours=7) < expires_at - now() <= timedelta(hours=8)


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"kind": KeyKind.CLUB}, "/brewer_id"),
        ({"brewer_id": None}, "/brewer_id"),
        ({"kind": KeyKind.LINK}, "/kind"),
        ({"kind": KeyKind.BREWER, "origins": frozenset({"https://club.example"})}, "/origins"),
        ({"expires_at": now() - timedelta(seconds=1)}, "/expires_at"),
        ({"expires_at": now() + timedelta(days=2)}, "/expires_at"),
    ],
)
def test_a_key_that_makes_no_sense_is_refused_and_not_stored(
    house: House, change: dict[str, object], pointer: str
) -> None:
    facts = {"kind": KeyKind.PAGE, "name": "page", "brewer_id": house.brewer.id, **change}
    asked = KeyAsked(**facts)  # type: ignore[arg-type]
    with pytest.raises(KeyAskedError) as refused:
        create_key(house.work, asked, PEPPER)
    assert refused.value.pointer == pointer
    assert len(list_keys(house.database, house.caller, None, 10).items) == 1


def test_only_a_club_key_mints(house: House) -> None:
    working = house.working(house.as_brewer())
    with pytest.raises(NotAllowedError):
        create_key(working, KeyAsked(KeyKind.BREWER, "more", house.brewer.id), PEPPER)
