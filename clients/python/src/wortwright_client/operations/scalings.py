"""Scalings: the main job."""

from collections.abc import Iterator
from typing import Literal, overload

from wortwright_client.documents.amounts import Timestamp, Units
from wortwright_client.documents.people import LinkDocument
from wortwright_client.documents.scalings import BatchDocument, ScalingDocument
from wortwright_client.models.people import Key, NewLink
from wortwright_client.models.scalings import Batch, ComputedScaling, Scaling, ScalingSummary
from wortwright_client.models.schedules import Schedule
from wortwright_client.operations.base import Operations, at


class Scalings(Operations):
    """Operations on scalings."""

    @overload
    def create_scaling(
        self,
        scaling: ScalingDocument,
        *,
        store: Literal[True] = True,
        units: Units | None = None,
    ) -> Scaling: ...

    @overload
    def create_scaling(
        self, scaling: ScalingDocument, *, store: Literal[False], units: Units | None = None
    ) -> ComputedScaling: ...

    def create_scaling(
        self, scaling: ScalingDocument, *, store: bool = True, units: Units | None = None
    ) -> ComputedScaling:
        """Refit a recipe to a setup.

        The plan stays at its address with all it was computed from; with ``store=False`` it is
        computed only.
        """
        if store:
            return self._post(Scaling, at("scalings"), scaling, {"units": units})
        query = {"store": "false", "units": units}
        return self._post(ComputedScaling, at("scalings"), scaling, query)

    def compute_scalings(self, batch: BatchDocument, *, units: Units | None = None) -> Batch:
        """Refit many stored recipes to one setup, and store nothing."""
        return self._post(Batch, at("scalings", "batch"), batch, {"units": units})

    def list_scalings(
        self, *, page_size: int | None = None, units: Units | None = None
    ) -> Iterator[ScalingSummary]:
        """List the stored scalings that the key may read, newest first, without their plans."""
        return self._list(ScalingSummary, at("scalings"), {"limit": page_size, "units": units})

    def get_scaling(self, scaling_id: str, *, units: Units | None = None) -> Scaling:
        """Give a scaling as it was made."""
        return self._get(Scaling, at("scalings", scaling_id), {"units": units})

    def delete_scaling(self, scaling_id: str, *, etag: str | None) -> None:
        """Delete a scaling. Sessions brewed from it stay."""
        self._delete(at("scalings", scaling_id), etag)

    def get_schedule(
        self, scaling_id: str, *, starts_at: Timestamp | None = None, units: Units | None = None
    ) -> Schedule:
        """Lay a scaling out in time, from the strike water to the first glass.

        ``starts_at`` is when the strike water goes on the heat; without it the start of the last
        session that was made from this scaling.
        """
        path = at("scalings", scaling_id, "schedule")
        return self._get(Schedule, path, {"starts_at": starts_at, "units": units})

    def get_schedule_calendar(
        self, scaling_id: str, *, starts_at: Timestamp | None = None, units: Units | None = None
    ) -> str:
        """Give the same schedule as the text of an iCalendar file (RFC 5545)."""
        path = at("scalings", scaling_id, "schedule.ics")
        return self._get_text(path, {"starts_at": starts_at, "units": units})

    def get_brew_sheet(self, scaling_id: str, *, units: Units | None = None) -> str:
        """Give the brew sheet of a scaling (HTML), to be printed: the day in order."""
        return self._get_text(at("scalings", scaling_id, "sheet"), {"units": units})

    def create_scaling_link(
        self, scaling_id: str, link: LinkDocument, *, units: Units | None = None
    ) -> NewLink:
        """Mint a link that reads a scaling, for 30 days at most.

        Raises
        ------
        TransportError
            Also if the answer with the address was lost on the way. The error names the link:
            revoke it like a key, and mint another.
        """
        return self._post(NewLink, at("scalings", scaling_id, "links"), link, {"units": units})

    def list_scaling_links(
        self, scaling_id: str, *, page_size: int | None = None, units: Units | None = None
    ) -> Iterator[Key]:
        """List the links to a scaling, the revoked ones too."""
        path = at("scalings", scaling_id, "links")
        return self._list(Key, path, {"limit": page_size, "units": units})
