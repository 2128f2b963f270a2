"""Quantities of the trade: levels, gains, measures, bands, weightings, spectra, noise.

Levels and gains are typed objects where people type and read (``Level``, ``Gain``, ``parse``), and
plain arrays inside the solvers (``dbu_from_volts``, ``mid_hz``). Everything inside is in SI.
"""

from __future__ import annotations

from levelhead.quantity.bands import (
    BANDS,
    band_labels,
    edges_hz,
    exact_mid_hz,
    mid_hz,
    nearest_band,
    nominal_hz,
    octave_levels_db,
    octave_mid_hz,
    width_hz,
)
from levelhead.quantity.decibels import (
    DBU_REFERENCE_V,
    P_REFERENCE_PA,
    coherent_sum_db,
    db_spl_from_pascals,
    dbu_from_volts,
    dbv_from_volts,
    dbw_from_watts,
    pascals_from_db_spl,
    power_sum_db,
    volts_from_dbu,
    volts_from_dbv,
    watts_from_dbw,
)
from levelhead.quantity.digital import (
    EBU_R68,
    SMPTE_RP155,
    Alignment,
    dbfs_from_rms,
    quantiser_snr_db,
    rms_from_dbfs,
)
from levelhead.quantity.formatting import format_level, format_quantity, format_si
from levelhead.quantity.levels import Gain, Level, Reference
from levelhead.quantity.measure import UNITS, Measure
from levelhead.quantity.noise import (
    AUDIO_BANDWIDTH_HZ,
    BOLTZMANN_J_PER_K,
    ROOM_K,
    cascade_noise_figure_db,
    noise_figure_db,
    own_noise_v,
    thermal_noise_v,
)
from levelhead.quantity.parsing import Quantity, parse, parse_si
from levelhead.quantity.peaks import SINE_CREST_DB, crest_factor_db, peak_level_db
from levelhead.quantity.spectra import SPECTRA, band_levels_db
from levelhead.quantity.units import area_m2_from_awg
from levelhead.quantity.weighting import a_weighting_db, c_weighting_db

__all__ = [
    "AUDIO_BANDWIDTH_HZ",
    "BANDS",
    "BOLTZMANN_J_PER_K",
    "DBU_REFERENCE_V",
    "EBU_R68",
    "P_REFERENCE_PA",
    "ROOM_K",
    "SINE_CREST_DB",
    "SMPTE_RP155",
    "SPECTRA",
    "UNITS",
    "Alignment",
    "Gain",
    "Level",
    "Measure",
    "Quantity",
    "Reference",
    "a_weighting_db",
    "area_m2_from_awg",
    "band_labels",
    "band_levels_db",
    "c_weighting_db",
    "cascade_noise_figure_db",
    "coherent_sum_db",
    "crest_factor_db",
    "db_spl_from_pascals",
    "dbfs_from_rms",
    "dbu_from_volts",
    "dbv_from_volts",
    "dbw_from_watts",
    "edges_hz",
    "exact_mid_hz",
    "format_level",
    "format_quantity",
    "format_si",
    "mid_hz",
    "nearest_band",
    "noise_figure_db",
    "nominal_hz",
    "octave_levels_db",
    "octave_mid_hz",
    "own_noise_v",
    "parse",
    "parse_si",
    "pascals_from_db_spl",
    "peak_level_db",
    "power_sum_db",
    "quantiser_snr_db",
    "rms_from_dbfs",
    "thermal_noise_v",
    "volts_from_dbu",
    "volts_from_dbv",
    "watts_from_dbw",
    "width_hz",
]
