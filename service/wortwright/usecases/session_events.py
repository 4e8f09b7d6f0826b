"""The record of what was done with a session: told by what changed, never by who says so."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from wortwright.records.session import Act, Event, Session, SessionState


def recorded(before: Session | None, after: Session, at: datetime) -> Session:
    """Give a session after a change with all that was done before, and what was done now."""
    done = () if before is None else before.events
    return replace(after, events=(*done, *_events(before, after, at)))


def _events(before: Session | None, after: Session, at: datetime) -> Iterator[Event]:
    was = Session(after.brewed_at, after.grist) if before is None else before
    if after.state is SessionState.SET_ASIDE:
        if (after.state, after.set_aside_because) != (was.state, was.set_aside_because):
            yield Event(Act.SET_ASIDE, at, after.set_aside_because)
    elif after.state is not was.state:
        is_closed = after.state is SessionState.CLOSED
        yield Event(Act.CLOSED if is_closed else Act.REOPENED, at)
    if after.trusted_because not in (None, was.trusted_because):
        yield Event(Act.TRUSTED, at, after.trusted_because)
    elif after.trusted_because is None and was.trusted_because is not None:
        yield Event(Act.DOUBTED, at)
