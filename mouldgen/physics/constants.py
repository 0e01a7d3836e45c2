"""Constants that more than one formula needs.

``STANDARD_GRAVITY`` is the conventional value of the 3rd General Conference on Weights and
Measures (1901); ``GAS_CONSTANT`` is exact since the SI of 2019 (k times N_A).
"""

from __future__ import annotations

STANDARD_GRAVITY = 9.80665  # [m/s2]
GAS_CONSTANT = 8.31446261815324  # [J/(mol K)]
ZERO_CELSIUS = 273.15  # [K]
