"""Sessions."""

from collections.abc import Iterator
from typing import Literal, overload

from wortwright_client.documents.amounts import Units
from wortwright_client.documents.people import LinkDocument
from wortwright_client.documents.sessions import (
    NewSessionDocument,
    ReadingDocument,
    SessionDocument,
    SessionState,
)
from wortwright_client.models.outlooks import BrewDay
from wortwright_client.models.people import Key, NewLink
from wortwright_client.models.session_answers import Lesson, Reconciliation, SessionComparison
from wortwright_client.models.sessions import Learnt, ReadingAdded, Session, SessionContent
from wortwright_client.operations.base import Operations, at


class Sessions(Operations):
    """Operations on sessions."""

    @overload
    def create_session(
        self,
        session: NewSessionDocument,
        *,
        store: Literal[True] = True,
        units: Units | None = None,
        idempotency_key: str | None = None,
    ) -> Session: ...

    @overload
    def create_session(
        self,
        session: NewSessionDocument,
        *,
        store: Literal[False],
        units: Units | None = None,
    ) -> SessionContent: ...

    def create_session(
        self,
        session: NewSessionDocument,
        *,
        store: bool = True,
        units: Units | None = None,
        idempotency_key: str | None = None,
    ) -> SessionContent:
        """Store a brew. One that is closed already teaches its setup at once.

        With ``store=False`` it is checked only. An ``idempotency_key`` that is made from what is
        sent lets a program that was started anew send it again for a day: it is stored once.
        """
        if store:
            return self._post(Session, at("sessions"), session, {"units": units}, idempotency_key)
        query = {"store": "false", "units": units}
        return self._post(SessionContent, at("sessions"), session, query)

    def list_sessions(
        self,
        *,
        setup_id: str | None = None,
        state: SessionState | None = None,
        page_size: int | None = None,
        units: Units | None = None,
    ) -> Iterator[Session]:
        """List the sessions that the key may read, newest first."""
        query = {"setup_id": setup_id, "state": state, "limit": page_size, "units": units}
        return self._list(Session, at("sessions"), query)

    def get_session(self, session_id: str, *, units: Units | None = None) -> Session:
        """Give a session."""
        return self._get(Session, at("sessions", session_id), {"units": units})

    def replace_session(
        self,
        session_id: str,
        session: SessionDocument,
        *,
        etag: str | None,
        units: Units | None = None,
    ) -> Session:
        """Write a session anew, its state with it."""
        return self._put(Session, at("sessions", session_id), session, etag, {"units": units})

    def delete_session(self, session_id: str, *, etag: str | None) -> None:
        """Delete a session, and forget what it taught."""
        self._delete(at("sessions", session_id), etag)

    def add_reading(
        self, session_id: str, reading: ReadingDocument, *, units: Units | None = None
    ) -> ReadingAdded:
        """Add a reading to a session; of one by a scaling, also tell where it will end."""
        path = at("sessions", session_id, "readings")
        return self._post(ReadingAdded, path, reading, {"units": units})

    def get_outlook(self, session_id: str, *, units: Units | None = None) -> BrewDay:
        """Give the readings as corrected, where the brew will end, and what corrects it."""
        return self._get(BrewDay, at("sessions", session_id, "outlook"), {"units": units})

    def close_session(self, session_id: str, *, units: Units | None = None) -> Learnt:
        """Close an open session: from now on it teaches its setup."""
        return self._change_state(session_id, "closing", None, units)

    def set_session_aside(
        self, session_id: str, *, reason: str, units: Units | None = None
    ) -> Learnt:
        """Set a session aside: it stays on record and teaches nothing."""
        return self._change_state(session_id, "setting-aside", {"reason": reason}, units)

    def reopen_session(self, session_id: str, *, units: Units | None = None) -> Learnt:
        """Open a session again: until it is closed it teaches nothing."""
        return self._change_state(session_id, "reopening", None, units)

    def trust_session(self, session_id: str, *, reason: str, units: Units | None = None) -> Learnt:
        """Overrule the doubt of a session: its readings count in full, and it is no finding."""
        return self._change_state(session_id, "trusting", {"reason": reason}, units)

    def doubt_session(self, session_id: str, *, units: Units | None = None) -> Learnt:
        """Take the overruling of a doubt back: the session is judged by the others again."""
        return self._change_state(session_id, "doubting", None, units)

    def reconcile_session(self, session_id: str, *, units: Units | None = None) -> Reconciliation:
        """Balance the readings of a brew; name what disagrees, and where extract was lost."""
        path = at("sessions", session_id, "reconciliation")
        return self._get(Reconciliation, path, {"units": units})

    def compare_sessions(
        self, session_id: str, *, other_id: str | None = None, units: Units | None = None
    ) -> SessionComparison:
        """Set a brew beside another of the brewer's, or beside the brew before it."""
        path = at("sessions", session_id, "comparison")
        return self._get(SessionComparison, path, {"other_id": other_id, "units": units})

    def get_lesson(self, session_id: str, *, units: Units | None = None) -> Lesson:
        """Tell what changed in what is known of a setup when a brew was last counted."""
        return self._get(Lesson, at("sessions", session_id, "lesson"), {"units": units})

    def create_session_link(
        self, session_id: str, link: LinkDocument, *, units: Units | None = None
    ) -> NewLink:
        """Mint a link that reads a session and adds readings to it, for 48 hours at most.

        Raises
        ------
        TransportError
            Also if the answer with the address was lost on the way. The error names the link:
            revoke it like a key, and mint another.
        """
        return self._post(NewLink, at("sessions", session_id, "links"), link, {"units": units})

    def list_session_links(
        self, session_id: str, *, page_size: int | None = None, units: Units | None = None
    ) -> Iterator[Key]:
        """List the links to a session, the revoked ones too."""
        path = at("sessions", session_id, "links")
        return self._list(Key, path, {"limit": page_size, "units": units})

    def _change_state(
        self, session_id: str, change: str, document: object, units: Units | None
    ) -> Learnt:
        path = at("sessions", session_id, change)
        return self._post(Learnt, path, document, {"units": units})
