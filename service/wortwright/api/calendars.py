"""A schedule as an iCalendar file (RFC 5545), for the calendar that a brewer keeps."""

from datetime import timedelta

from icalendar import Calendar, Event

from wortwright.api.sentences import spoken
from wortwright.planning.schedule import Step
from wortwright.usecases.plans import Scheduled

CONTENT_TYPE = "text/calendar"
# A thing to do on the brew day; common practice, no source.
_TAKES = timedelta(minutes=5)


def calendar_of(scheduled: Scheduled) -> bytes:
    """Write a schedule.

    Parameters
    ----------
    scheduled : Scheduled
        The schedule with the scaling that it is of.

    Returns
    -------
    bytes
        One event a step. Its UID follows from the scaling and its place, so that a calendar
        that reads the file again moves the events and doubles none.
    """
    calendar = Calendar()
    calendar.add("prodid", "-//wortwright//schedule//EN")
    calendar.add("version", "2.0")
    for place, step in enumerate(scheduled.schedule.steps):
        calendar.add_component(_event(scheduled, place, step))
    return bytes(calendar.to_ical())


def _event(scheduled: Scheduled, place: int, step: Step) -> Event:
    event = Event()
    event.add("uid", f"{scheduled.scaling_id}-{place}@wortwright")
    event.add("dtstamp", scheduled.planned_at)
    event.add("dtstart", step.at)
    event.add("dtend", step.at + _TAKES)
    event.add("summary", f"{scheduled.plan.recipe_name}: {spoken(step.detail)}")
    if step.earliest_at is not None and step.latest_at is not None:
        event.add(
            "description",
            f"Between {step.earliest_at:%Y-%m-%d} and {step.latest_at:%Y-%m-%d}; the readings "
            "of the beer decide.",
        )
    return event
