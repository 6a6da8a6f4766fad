"""The technician's bench sums: each with its result, the rule it stands on and a caution.

Every sum takes SI numbers and returns a `Sum` of plain rows.
"""

from __future__ import annotations

from dryermodel.bench.rows import Basis, Row, Sum

__all__ = ["Basis", "Row", "Sum"]
