"""Units as the page needs them: scale and offset from SI, label and decimals."""

from __future__ import annotations

from typing import Any

from dryermodel import units
from dryermodel.cycle.frame import affine
from dryermodel.kinds import KINDS, Display, label


def unit_data(unit: str) -> dict[str, Any]:
    """Return how an SI number is written in a unit.

    Parameters
    ----------
    unit : str
        As :func:`dryermodel.units.convert` reads it; empty for a plain number.

    >>> unit_data("lb")["label"], round(unit_data("lb")["scale"], 5)
    ('lb', 2.20462)
    """
    scale, offset = affine(unit)
    found = {"unit": unit, "label": label(unit), "scale": scale, "offset": offset}
    if offset == 0.0 and (kind := units.kind_of(unit) if unit else ""):
        # One of the unit, so that a whole number of them comes out whole.
        found["per"] = units.parse(f"1 {unit}", kind)
    return found


def kind_data(kind: str, decimals: int | None = None) -> dict[str, Any]:
    """Return how a kind of number is shown, in the trade's unit and in the metric one.

    Parameters
    ----------
    kind : str
        Of :data:`dryermodel.kinds.KINDS`.
    decimals : int, optional
        Instead of the kind's own.
    """

    def shown(how: Display) -> dict[str, Any]:
        own = how.decimals if decimals is None else decimals
        return {**unit_data(how.unit), "label": how.label, "decimals": own}

    return {"trade": shown(KINDS[kind].trade), "metric": shown(KINDS[kind].metric)}
