"""Setups and their calibrations."""

from collections.abc import Iterator

from wortwright_client.documents.amounts import Units
from wortwright_client.documents.people import LinkDocument
from wortwright_client.documents.setups import ChangeDocument, NewSetupDocument, SetupDocument
from wortwright_client.models.people import Key, NewLink
from wortwright_client.models.reports import CalibrationReport, ForecastAt
from wortwright_client.models.setups import Calibration, Setup
from wortwright_client.operations.base import Operations, at


class Setups(Operations):
    """Operations on setups and their calibrations."""

    def create_setup(self, setup: NewSetupDocument, *, units: Units | None = None) -> Setup:
        """Store a setup. It is calibrated at once, from what was said of it."""
        return self._post(Setup, at("setups"), setup, {"units": units})

    def list_setups(
        self, *, page_size: int | None = None, units: Units | None = None
    ) -> Iterator[Setup]:
        """List the setups that the key may read, newest first."""
        return self._list(Setup, at("setups"), {"limit": page_size, "units": units})

    def get_setup(self, setup_id: str, *, units: Units | None = None) -> Setup:
        """Give a setup."""
        return self._get(Setup, at("setups", setup_id), {"units": units})

    def replace_setup(
        self,
        setup_id: str,
        setup: SetupDocument,
        *,
        etag: str | None,
        units: Units | None = None,
    ) -> Setup:
        """Write a setup anew. It is calibrated anew, from all its sessions."""
        return self._put(Setup, at("setups", setup_id), setup, etag, {"units": units})

    def record_change(
        self, setup_id: str, change: ChangeDocument, *, units: Units | None = None
    ) -> Setup:
        """Record a change of mill, bag, kettle or method: an era begins.

        What was known before is kept, less sure of what the change may have altered.
        """
        return self._post(Setup, at("setups", setup_id, "changes"), change, {"units": units})

    def delete_setup(self, setup_id: str, *, etag: str | None) -> None:
        """Delete a setup that has no sessions, with its calibrations."""
        self._delete(at("setups", setup_id), etag)

    def get_present_calibration(self, setup_id: str, *, units: Units | None = None) -> Calibration:
        """Give what is known of a setup now."""
        return self._get(Calibration, at("setups", setup_id, "calibration"), {"units": units})

    def report_calibration(self, setup_id: str, *, units: Units | None = None) -> CalibrationReport:
        """Tell what the knowledge of a setup is worth: curve, sessions, errors of its forecasts."""
        path = at("setups", setup_id, "calibration", "report")
        return self._get(CalibrationReport, path, {"units": units})

    def forecast_efficiency(
        self,
        setup_id: str,
        *,
        grain_load_kg_per_l: float | None = None,
        potential_kg_per_l: float | None = None,
        units: Units | None = None,
    ) -> ForecastAt:
        """Forecast mash efficiency at one grain load and potential, and what makes its spread."""
        query = {
            "grain_load_kg_per_l": grain_load_kg_per_l,
            "potential_kg_per_l": potential_kg_per_l,
            "units": units,
        }
        return self._get(ForecastAt, at("setups", setup_id, "calibration", "forecast"), query)

    def list_calibrations(
        self, setup_id: str, *, page_size: int | None = None, units: Units | None = None
    ) -> Iterator[Calibration]:
        """List everything that was ever known of a setup, newest first."""
        path = at("setups", setup_id, "calibrations")
        return self._list(Calibration, path, {"limit": page_size, "units": units})

    def get_calibration(
        self, setup_id: str, number: int, *, units: Units | None = None
    ) -> Calibration:
        """Give one calibration of a setup by its number."""
        path = at("setups", setup_id, "calibrations", number)
        return self._get(Calibration, path, {"units": units})

    def get_calibration_page(
        self, setup_id: str, *, scaling_id: str | None = None, units: Units | None = None
    ) -> str:
        """Give the page (HTML) of what is known of a setup: curve, sessions, record, constants.

        The scaling, if one is named, is marked as the next brew.
        """
        path = at("setups", setup_id, "calibration", "page")
        return self._get_text(path, {"scaling_id": scaling_id, "units": units})

    def get_calibration_chart(
        self, setup_id: str, *, scaling_id: str | None = None, units: Units | None = None
    ) -> str:
        """Give a drawing (SVG) of mash efficiency over grain load: the curve and the sessions.

        The scaling, if one is named, is marked as the next brew.
        """
        path = at("setups", setup_id, "calibration", "chart.svg")
        return self._get_text(path, {"scaling_id": scaling_id, "units": units})

    def create_setup_link(
        self, setup_id: str, link: LinkDocument, *, units: Units | None = None
    ) -> NewLink:
        """Mint a link that shows the calibration of a setup, for 30 days at most.

        Raises
        ------
        TransportError
            Also if the answer with the address was lost on the way. The error names the link:
            revoke it like a key, and mint another.
        """
        return self._post(NewLink, at("setups", setup_id, "links"), link, {"units": units})

    def list_setup_links(
        self, setup_id: str, *, page_size: int | None = None, units: Units | None = None
    ) -> Iterator[Key]:
        """List the links to a setup, the revoked ones too."""
        path = at("setups", setup_id, "links")
        return self._list(Key, path, {"limit": page_size, "units": units})
