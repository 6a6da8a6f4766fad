"""What is not known well: ranges around the scenario's own values, from ``ranges.toml``."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from dryermodel import units
from dryermodel.cycle.engine.parameters import NEVER
from dryermodel.kinds import label
from dryermodel.scenario.checks import EXCLUSIVE
from dryermodel.scenario.follow import moves_with
from dryermodel.scenario.words import known_key
from dryermodel.studies.sweep.points import PointMaker
from dryermodel.studies.sweep.vary import Varied, quantity_rule, read_all

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from dryermodel.scenario.model import Scenario

SHAPES = ("uniform", "triangular", "normal", "log-uniform", "whole")
RANGES_OPTION = "ranges"
"""How messages about a range of ``ranges.toml`` begin."""


class Range(NamedTuple):
    """One entry of ``ranges.toml``."""

    key: str
    about: str
    shape: str
    offset: tuple[str, ...]
    factor: tuple[float, ...]
    moves_with: tuple[str, ...]
    only: str
    band: bool
    source: str
    status: str
    words: str = ""


class Uncertain(NamedTuple):
    """One key with the distribution of its value, in SI.

    Drawn by the inverse of the distribution function, so that any well-spread points will do.
    """

    key: str
    shape: str
    low: float  # [SI]
    mode: float  # [SI] likeliest value, or the mean of a normal one
    high: float  # [SI]
    moves_with: tuple[str, ...]
    about: str
    source: str
    status: str

    def ppf(self, share: ArrayLike) -> NDArray[np.float64]:
        """Values [SI] below which the given shares (0 to 1) of all lie.

        >>> u = Uncertain("load.dry_mass", "triangular", 3.0, 4.0, 5.0, (), "", "", "assumed")
        >>> [round(float(v), 4) for v in u.ppf([0.0, 0.125, 0.5, 1.0])]
        [3.0, 3.5, 4.0, 5.0]
        """
        u = np.asarray(share, dtype=np.float64)
        if self.shape == "log-uniform":
            values = self.low * (self.high / self.low) ** u
        elif self.shape == "whole":
            values = np.floor(self.low + u * (self.high - self.low + 1.0))
        elif self.shape == "triangular":
            values = _triangular(u, self.low, self.mode, self.high)
        elif self.shape == "normal":
            values = _cut_normal(u, self.low, self.mode, self.high)
        else:
            values = self.low + u * (self.high - self.low)
        return np.clip(values, self.low, self.high)

    @property
    def words(self) -> str:
        """The value in plain words, where it has any; else its key.

        >>> Uncertain("load.dry_mass", "uniform", 3.0, 4.0, 5.0, (), "", "", "given").words
        'mass of the dry cloth'
        """
        entry = ranges().get(self.key)
        return entry.words if entry is not None and entry.words else self._varied().words

    def column(self, si: bool = False) -> str:
        """Name of its column, unit included."""
        return self._varied().column(si)

    def text(self, si: bool = False) -> str:
        """The range with its unit.

        >>> u = Uncertain("vent.length", "uniform", 1.524, 3.048, 6.096, (), "", "", "assumed")
        >>> u.text()
        '5 to 20 ft'
        """
        v = self._varied()
        low, high = (float(x) for x in v.shown([self.low, self.high], si))
        return f"{units.digits(low, 4)} to {units.digits(high, 4)} {label(v.unit(si))}".rstrip()

    def _varied(self) -> Varied:
        return Varied(self.key, self.low, self.high, 0, False, False)


def _triangular(u: NDArray[np.float64], low: float, mode: float, high: float) -> NDArray[np.float64]:
    """Inverse of the triangular distribution function: two parabolas that meet at the mode."""
    turn = (mode - low) / (high - low)
    rising = low + np.sqrt(u * (high - low) * (mode - low))
    falling = high - np.sqrt((1.0 - u) * (high - low) * (high - mode))
    return np.where(u < turn, rising, falling)


def _cut_normal(u: NDArray[np.float64], low: float, mean: float, high: float) -> NDArray[np.float64]:
    """Inverse of a normal distribution that is cut off two standard deviations from its mean.

    The two sides have standard deviations of their own when the range is cut off on one side.
    """
    from scipy.special import ndtr, ndtri

    edge = float(ndtr(-2.0))
    z = ndtri(edge + u * (1.0 - 2.0 * edge))
    side = np.where(z < 0.0, mean - low, high - mean)
    return np.asarray(mean + 0.5 * z * side)


@cache
def ranges() -> Mapping[str, Range]:
    """Return every entry of ``ranges.toml`` by its key, in the order of the file.

    >>> ranges()["burner.firing_rate"].factor
    (0.95, 1.05)
    """
    text = Path(__file__).with_name("ranges.toml").read_text(encoding="utf-8")
    raw = tomllib.loads(text)
    entries = {f"{section}.{name}": entry for section, names in raw.items() for name, entry in names.items()}
    return MappingProxyType({key: _entry(key, entry) for key, entry in entries.items()})


def _entry(key: str, raw: Mapping[str, Any]) -> Range:
    return Range(
        key,
        raw["about"],
        raw["shape"],
        tuple(raw.get("offset", ())),
        tuple(raw.get("factor", ())),
        tuple(raw.get("moves_with", ())),
        raw.get("only", ""),
        raw["band"],
        raw["source"],
        raw["status"],
        raw.get("words", ""),
    )


def uncertain_of(scenario: Scenario, *, band: bool = False) -> list[Uncertain]:
    """Return the default uncertain values of a scenario.

    Parameters
    ----------
    scenario : Scenario
        The ranges lie around its values.
    band : bool
        Only those that may differ from one load to the next on a machine that is known: load,
        room, and the thermostat's tolerance.

    Returns
    -------
    list of Uncertain
        Without what has no meaning for its heat source, and without ranges of no width.
    """
    heat = scenario.value("machine.heat")
    chosen = [r for r in ranges().values() if r.only in ("", heat) and (r.band or not band)]
    found = [_around(scenario, r) for r in chosen]
    return [u for u in found if u is not None and u.high > u.low]


def _around(scenario: Scenario, entry: Range) -> Uncertain | None:
    """Return a range around the scenario's value, cut off at what is admissible."""
    value = scenario.value(entry.key)
    if value is None or value >= NEVER or _without_effect(scenario, entry.key):
        return None
    rule = quantity_rule(entry.key)
    if entry.offset:
        kind = "temperature difference" if rule.kind == "temperature" else rule.kind
        low, high = (value + units.parse(text, kind) for text in entry.offset)
    else:
        low, high = (value * ratio for ratio in entry.factor)
    least, most = rule.bounds()
    low, high = min(max(low, least), value), max(min(high, most), value)
    if entry.shape == "log-uniform" and low <= 0.0:
        return None
    return Uncertain(
        entry.key, entry.shape, low, value, high, entry.moves_with, entry.about, entry.source, entry.status
    )


def _without_effect(scenario: Scenario, key: str) -> bool:
    """Return whether the scenario gives the same thing in another way, such as an orifice for an input."""
    return any(second == key and scenario.value(first) is not None for first, second in EXCLUSIVE)


def uncertain_from(vary: Sequence[str], settings: Sequence[str] = ()) -> list[Uncertain]:
    """Return ranges a person wrote, as ``key=low:high``, all values in them equally likely.

    Parameters
    ----------
    vary : sequence of str
        As in :func:`dryermodel.studies.sweep.vary.read_vary`; ``:log`` makes ratios equally likely.
    settings : sequence of "section.key=value"
        What is set beside them.
    """
    varied = read_all(vary, settings, drawn=True)
    fixed = [known_key(setting.partition("=")[0].strip()) for setting in settings]
    moving = moves_with([v.key for v in varied], fixed)
    return [_given(v, moving.get(v.key, ())) for v in varied]


def _given(v: Varied, moving: tuple[str, ...]) -> Uncertain:
    low, high = sorted((v.start, v.stop))
    shape = "whole" if v.whole else "log-uniform" if v.log else "uniform"
    return Uncertain(v.key, shape, low, 0.5 * (low + high), high, moving, "", "--vary", "given")


def maker_of(scenario: Scenario, uncertain: Sequence[Uncertain]) -> PointMaker:
    """Return what makes parameters from one value of each; InputError if an end cannot be.

    Parameters
    ----------
    scenario : Scenario
        What is known.
    uncertain : sequence of Uncertain
        What is not.
    """
    given = any(u.status == "given" for u in uncertain)
    maker = PointMaker(
        scenario,
        [u.key for u in uncertain],
        {u.key: u.moves_with for u in uncertain},
        "--vary" if given else RANGES_OPTION,
    )
    maker.check_ends([(u.low, u.high) for u in uncertain])
    return maker
