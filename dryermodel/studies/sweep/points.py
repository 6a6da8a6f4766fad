"""From a point of a study to the parameters of one cycle, without reading the files again.

The point's values replace those of the checked scenario, and everything that is derived from them
is derived anew: a warmer room has another humidity ratio at the same relative humidity.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations, product
from typing import TYPE_CHECKING, Any

import numpy as np

from dryermodel.cycle.run.columns import Column, fill, on_columns
from dryermodel.cycle.run.many import PARAMETER_ROW
from dryermodel.scenario.checks import Given, check
from dryermodel.scenario.model import Scenario
from dryermodel.scenario.pieces import Piece, is_piece_key, mean, replaced, split_piece_key
from dryermodel.scenario.schema import FAULTS
from dryermodel.studies.sweep.vary import OPTION, quantity_rule

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.cycle.engine.parameters import Parameters
    from dryermodel.scenario.schema import ScenarioModel


TOLERANCE_KEY = "controls.rel_tolerance"
"""The integrator's tolerance: many runs are as fine as single ones, so that both show the same digits."""


class PointMaker:
    """Makes the parameters of one point after another.

    Parameters
    ----------
    scenario : Scenario
        What does not vary.
    keys : sequence of str
        Dotted keys that vary, in the order of a point's values.
    moves_with : mapping of key to keys, optional
        Temperatures that move by the same amount as a varied one.
    where : str
        How messages about the varied keys begin.

    Examples
    --------
    >>> from dryermodel.scenario.model import load_scenario
    >>> make = PointMaker(load_scenario("standard"), ["room.temperature"])
    >>> [round(make([t]).room_humidity_ratio, 5) for t in (285.0, 300.0)]
    [0.00429, 0.01104]
    """

    def __init__(
        self,
        scenario: Scenario,
        keys: Sequence[str],
        moves_with: Mapping[str, Sequence[str]] | None = None,
        where: str = OPTION,
    ) -> None:
        self.keys = tuple(keys)
        self.tolerance = float(scenario.value(TOLERANCE_KEY))
        self._scenario = scenario
        self._model = scenario.model
        self._places = [(key.split(".")[0], key.partition(".")[2]) for key in keys]
        self._whole = [_is_count(key) for key in keys]
        self._moved = [
            [
                (*name.split("."), scenario.value(name) - scenario.value(key))
                for name in (moves_with or {}).get(key, ())
            ]
            for key in keys
        ]
        for key in filter(is_piece_key, keys):
            scenario.value(key)  # whether the load has such a piece
        rank = max(who.rank for who in scenario.given.values()) + 1
        self._given = {**scenario.given, **{key: Given(where, rank) for key in keys}}

    def model(self, values: Sequence[float]) -> ScenarioModel:
        """Return the checked values [SI] of a point; InputError if they contradict each other."""
        changes: dict[str, dict[str, Any]] = {}
        for (section, name), whole, moved, value in zip(
            self._places, self._whole, self._moved, values, strict=True
        ):
            changes.setdefault(section, {})[name] = int(value) if whole else float(value)
            for other, other_name, difference in moved:
                changes.setdefault(other, {})[other_name] = float(value) + difference
        update: dict[str, Any] = {}
        if FAULTS in changes:
            severities = {**self._model.faults, **changes.pop(FAULTS)}
            update[FAULTS] = {name: severity for name, severity in severities.items() if severity > 0.0}
        for section, entries in changes.items():
            entries = _with_pieces(self._model.load.pieces, entries)
            update[section] = getattr(self._model, section).model_copy(update=entries)
        model = self._model.model_copy(update=update)
        check(model, self._given)
        return model

    def __call__(self, values: Sequence[float]) -> Parameters:
        """Return the parameters of a point.

        Parameters
        ----------
        values : sequence of float
            One for each key [SI].
        """
        # By the scenario's own way to parameters, so that nothing it adds can be left out here.
        return replace(self._scenario, model=self.model(values)).to_parameters()

    def rows(self, points: NDArray[np.float64]) -> NDArray[np.void]:
        """Return the parameters of many points, the same to the last bit as those of each by itself.

        Parameters
        ----------
        points : ndarray, shape (n, keys)
            Values [SI].

        Returns
        -------
        structured ndarray of PARAMETER_ROW, shape (n,)
        """
        out = np.empty(len(points), PARAMETER_ROW)
        fill(out, points, self.abreast, self)
        return out

    def abreast(self, columns: list[Column]) -> Parameters:
        """Return the parameters of many points at once, :class:`~dryermodel.cycle.run.columns.Column` each.

        Parameters
        ----------
        columns : list of Column
            One for each key [SI].

        Raises
        ------
        Mixed
            The points have to be computed apart.
        """
        scenario = replace(self._scenario, model=on_columns(PointMaker.model)(self, columns))
        parameters: Parameters = on_columns(Scenario.to_parameters)(scenario)
        return parameters

    def check_ends(self, ends: Sequence[tuple[float, float]]) -> None:
        """Raise InputError if some corner of the ranges cannot be.

        What contradicts itself is an order of two temperatures or a pair of faults, so it shows at
        the ends of two keys while the others stand at the start of theirs.

        Parameters
        ----------
        ends : sequence of (float, float)
            Start and stop of each key [SI].
        """
        for values in _corners(ends):
            self(values)


def _with_pieces(pieces: Sequence[Piece], entries: dict[str, Any]) -> dict[str, Any]:
    """Put values of single pieces into the load's list of them."""
    single = {k: v for k, v in entries.items() if is_piece_key(f"load.{k}")}
    if not single:
        return entries
    named = {split_piece_key(f"load.{key}", "--vary"): value for key, value in single.items()}
    changed = replaced(pieces, named)
    means = {f: mean(changed, f) for f in ("initial_moisture", "cotton_fraction")}
    return means | {k: v for k, v in entries.items() if k not in single} | {"pieces": changed}


def _corners(ends: Sequence[tuple[float, float]]) -> Iterator[list[float]]:
    base = [low for low, _ in ends]
    yield base
    pairs = list(combinations(range(len(ends)), 2)) or [(0, 0)]
    for i, j in pairs:
        for a, b in product(ends[i], ends[j]):
            corner = list(base)
            corner[i] = a
            corner[j] = b
            yield corner


def _is_count(key: str) -> bool:
    return quantity_rule(key).kind == "count"
