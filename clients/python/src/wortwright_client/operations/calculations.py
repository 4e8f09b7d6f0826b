"""Calculations: nothing of them is stored."""

from wortwright_client.documents.amounts import Units
from wortwright_client.documents.conversions import ConversionDocument
from wortwright_client.documents.fermentation import (
    FermentationDocument,
    RefractometerReadingDocument,
)
from wortwright_client.documents.hops import HopAgingDocument, HopSubstitutionDocument
from wortwright_client.documents.packaging import (
    BottlingDocument,
    KegPressureDocument,
    PrimingDocument,
)
from wortwright_client.documents.water import (
    MashPhCorrectionDocument,
    MashPhForecastDocument,
    WaterTreatmentDocument,
)
from wortwright_client.documents.yeast import PitchDocument
from wortwright_client.models.conversions import Conversion
from wortwright_client.models.fermentation import Fermentation, RefractometerGravity
from wortwright_client.models.hops import HopAging, HopSubstitution
from wortwright_client.models.packaging import Bottling, KegPressure, Priming
from wortwright_client.models.water import MashPhCorrection, MashPhForecast, TreatedForMash
from wortwright_client.models.yeast import Pitch
from wortwright_client.operations.base import Operations, at


class Calculations(Operations):
    """Calculations for every stage of a brew, of which nothing is stored."""

    def compute_conversion(
        self, conversion: ConversionDocument, *, units: Units | None = None
    ) -> Conversion:
        """Give a quantity in every unit of its dimension."""
        return self._post(Conversion, at("conversions"), conversion, {"units": units})

    def compute_fermentation(
        self, fermentation: FermentationDocument, *, units: Units | None = None
    ) -> Fermentation:
        """Forecast the final gravity; give attenuation, alcohol and state by the readings."""
        return self._post(Fermentation, at("fermentations"), fermentation, {"units": units})

    def compute_refractometer_reading(
        self, refractometer_reading: RefractometerReadingDocument, *, units: Units | None = None
    ) -> RefractometerGravity:
        """Make a gravity of a refractometer's reading, with an honest error."""
        return self._post(
            RefractometerGravity,
            at("refractometer-readings"),
            refractometer_reading,
            {"units": units},
        )

    def compute_hop_aging(
        self, hop_aging: HopAgingDocument, *, units: Units | None = None
    ) -> HopAging:
        """Work out what alpha acid hops have left, by age, packing and temperature."""
        return self._post(HopAging, at("hop-agings"), hop_aging, {"units": units})

    def compute_hop_substitution(
        self, hop_substitution: HopSubstitutionDocument, *, units: Units | None = None
    ) -> HopSubstitution:
        """Work out the mass of a hop that stands for another."""
        return self._post(
            HopSubstitution, at("hop-substitutions"), hop_substitution, {"units": units}
        )

    def compute_bottling(
        self, bottling: BottlingDocument, *, units: Units | None = None
    ) -> Bottling:
        """Plan a bottling; one that its bottles may not bear is refused with its pressure."""
        return self._post(Bottling, at("bottlings"), bottling, {"units": units})

    def compute_keg_pressure(
        self, keg_pressure: KegPressureDocument, *, units: Units | None = None
    ) -> KegPressure:
        """Give the pressure for a carbonation at a temperature, or the reverse."""
        return self._post(KegPressure, at("keg-pressures"), keg_pressure, {"units": units})

    def compute_priming(self, priming: PrimingDocument, *, units: Units | None = None) -> Priming:
        """Weigh priming sugar for beer that has finished."""
        return self._post(Priming, at("primings"), priming, {"units": units})

    def compute_mash_ph_correction(
        self, mash_ph_correction: MashPhCorrectionDocument, *, units: Units | None = None
    ) -> MashPhCorrection:
        """Work out the rest of a dose from what its first part did."""
        return self._post(
            MashPhCorrection, at("mash-ph-corrections"), mash_ph_correction, {"units": units}
        )

    def compute_mash_ph(
        self, mash_ph: MashPhForecastDocument, *, units: Units | None = None
    ) -> MashPhForecast:
        """Forecast the pH of a mash in a water as it is, and the dose that corrects it."""
        return self._post(MashPhForecast, at("mash-ph-forecasts"), mash_ph, {"units": units})

    def compute_water_treatment(
        self, water_treatment: WaterTreatmentDocument, *, units: Units | None = None
    ) -> TreatedForMash:
        """Work out salts and dilution from a water report, and the mash pH that follows."""
        return self._post(TreatedForMash, at("water-treatments"), water_treatment, {"units": units})

    def compute_pitch(self, pitch: PitchDocument, *, units: Units | None = None) -> Pitch:
        """Work out cells, packets, slurry or cake, a starter and oxygen for a wort."""
        return self._post(Pitch, at("pitches"), pitch, {"units": units})
