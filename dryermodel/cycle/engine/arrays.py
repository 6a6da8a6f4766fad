"""Names for the arrays that pass through the engine; for type checkers only."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Vector: TypeAlias = NDArray[np.float64]
"""One-dimensional."""

Matrix: TypeAlias = NDArray[np.float64]
"""Two-dimensional."""

Flags: TypeAlias = NDArray[np.int64]
"""Discrete state."""

Rows: TypeAlias = NDArray[Any]
"""Structured array of parameter sets."""
