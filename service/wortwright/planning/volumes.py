"""Wort volumes along the brew, every one at 20 degC."""

from dataclasses import dataclass

from wortwright.records.recipe import VolumeAt


@dataclass(frozen=True, slots=True)
class Volumes:
    """Wort from the start of the boil to the package, at 20 degC. [L]"""

    preboil_l: float
    boiled_off_l: float
    postboil_l: float
    kettle_loss_l: float
    fermenter_l: float
    fermenter_loss_l: float
    packaged_l: float

    def at(self, volume_at: VolumeAt) -> float:
        """Return the volume where it is counted. [L]"""
        return {
            VolumeAt.KETTLE: self.postboil_l,
            VolumeAt.PACKAGE: self.packaged_l,
        }.get(volume_at, self.fermenter_l)
