"""The technician's bench sums: each with its result, the rule it stands on and a caution.

Every sum takes SI numbers and returns a `Sum` of plain rows, printed by `as_text` or `as_json`.
"""

from __future__ import annotations

from dryermodel.bench.rows import Basis, Row, Sum, as_json, as_text

__all__ = ["Basis", "Row", "Sum", "as_json", "as_text"]
