"""Levels of digital points, and the alignment that ties them to volts.

dBFS follows AES17: a sine whose peaks just reach full scale is 0 dBFS, so a full-scale square wave
reads +3.01 dBFS. The other convention, 3.01 dB lower, is not used anywhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from levelhead.quantity.arrays import np
from levelhead.quantity.decibels import checked_magnitude
from levelhead.quantity.levels import Gain, Level, Reference
from levelhead.quantity.peaks import SINE_CREST_DB

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

PERMITTED_MAXIMUM_ABOVE_ALIGNMENT: Final = Gain(9.0)  # ITU-R BS.645-2, EBU R68-2000; some use 8


def dbfs_from_rms(rms: ArrayLike) -> NDArray[np.float64]:
    """Level of the rms of samples whose full scale is +/-1; silence is ``-inf`` (AES17). [dBFS]

    >>> round(float(dbfs_from_rms(1)), 2)  # a full-scale square wave
    3.01
    """
    values = checked_magnitude(rms, unit="of full scale")
    with np.errstate(divide="ignore"):  # digital silence
        return np.asarray(20.0 * np.log10(values) + SINE_CREST_DB)


def rms_from_dbfs(level_dbfs: ArrayLike) -> NDArray[np.float64]:
    """Rms of samples that reach +/-1 at full scale, from their level in dBFS."""
    return np.asarray(10.0 ** ((np.asarray(level_dbfs, dtype=np.float64) - SINE_CREST_DB) / 20.0))


@dataclass(frozen=True, slots=True)
class Alignment:
    """What a converter makes of full scale.

    Parameters
    ----------
    full_scale_dbu : float
        Analogue level of 0 dBFS. [dBu]

    Examples
    --------
    >>> Alignment(18.0).dbu(-18.0)
    0.0
    """

    full_scale_dbu: float

    @classmethod
    def of(cls, digital: Level, analogue: Level) -> Alignment:
        """Alignment from a pair of levels that belong together, e.g. -20 dBFS and +4 dBu."""
        digital_dbfs = digital.to(Reference.DBFS).value_db
        return cls(analogue.to(Reference.DBU).value_db - digital_dbfs)

    def dbu(self, level_dbfs: float) -> float:
        """Analogue level of a digital one. [dBu]"""
        return level_dbfs + self.full_scale_dbu

    def dbfs(self, level_dbu: float) -> float:
        """Digital level of an analogue one. [dBFS]"""
        return level_dbu - self.full_scale_dbu


EBU_R68: Final = Alignment(18.0)  # EBU R68-2000: alignment -18 dBFS, 0 dBu in European practice
SMPTE_RP155: Final = Alignment(24.0)  # SMPTE RP 155: -20 dBFS is +4 dBu


def quantiser_snr_db(bits: int) -> float:
    """Full-scale sine over the noise of an ideal quantiser: ``20 lg(2**bits) + 10 lg 1.5``. [dB]

    >>> round(quantiser_snr_db(16), 2)
    98.09
    """
    return float(20.0 * bits * np.log10(2.0) + 10.0 * np.log10(1.5))
