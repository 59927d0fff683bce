"""The array types of the heat core, and the time step it lives on."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.floating]
"""Real numbers, single or double precision; the axes are named in each docstring."""

BoolArray = npt.NDArray[np.bool_]

STEP_H = 1.0 / 12.0
"""Time step of fire and cabin, h. Five minutes: ten-minute steps moved temperatures by 0.28 K rms and by
up to 1.3 K near the peak (measured on simulated cabins)."""

STEP_S = STEP_H * 3600.0
