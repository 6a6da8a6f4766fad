"""Other Runge-Kutta pairs in the library's own engine, to see whether a better one was missed.

Each method replaces the step, the value in its middle and the rule of the step's length when the engine
is twinned for numba; located switchings, contacts and equations stay the same.

References
----------
.. [1] P. Bogacki, L. F. Shampine, "A 3(2) pair of Runge-Kutta formulas", Appl. Math. Lett. 2 (1989)
   321-325.
.. [2] C. Tsitouras, "Runge-Kutta pairs of order 5(4) satisfying only the first column simplifying
   assumption", Comput. Math. Appl. 62 (2011) 770-775. Coefficients from memory; a test holds the order.
.. [3] E. Hairer, S. P. Norsett, G. Wanner, Solving Ordinary Differential Equations I, 2nd ed., secs. II.4
   and II.5.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any, NamedTuple

from dryermodel.cycle.engine import loop, pair, stepper
from dryermodel.cycle.engine.equations import derivatives
from dryermodel.cycle.engine.state import N_DYNAMIC, N_STATES
from dryermodel.cycle.engine.workspace import END
from dryermodel.cycle.run.compiled import twin
from dryermodel.cycle.run.rows import run_rows


def heun_step(h: float, p: Any, c: Any, d: Any, w: Any) -> float:
    """Heun's second-order step with Euler's as the error estimate: two evaluations [3]_."""
    y, k, trial = w.y, w.k, w.trial
    for i in range(N_DYNAMIC):
        trial[i] = y[i] + h * k[0, i]
    derivatives(trial, p, c, d, k[1])
    for i in range(N_STATES):
        w.y_new[i] = y[i] + 0.5 * h * (k[0, i] + k[1, i])
    derivatives(w.y_new, p, c, d, k[END])
    worst = 0.0
    for i in range(N_DYNAMIC):
        worst = max(worst, abs(0.5 * h * (k[1, i] - k[0, i])) / w.scale[i])
    return worst


def bogacki_shampine_step(h: float, p: Any, c: Any, d: Any, w: Any) -> float:
    """Bogacki and Shampine's third-order step: three evaluations [1]_."""
    y, k, trial = w.y, w.k, w.trial
    for i in range(N_DYNAMIC):
        trial[i] = y[i] + 0.5 * h * k[0, i]
    derivatives(trial, p, c, d, k[1])
    for i in range(N_DYNAMIC):
        trial[i] = y[i] + 0.75 * h * k[1, i]
    derivatives(trial, p, c, d, k[2])
    for i in range(N_STATES):
        w.y_new[i] = y[i] + h * (2.0 * k[0, i] + 3.0 * k[1, i] + 4.0 * k[2, i]) / 9.0
    derivatives(w.y_new, p, c, d, k[END])
    worst = 0.0
    for i in range(N_DYNAMIC):
        error = -5.0 * k[0, i] / 72.0 + k[1, i] / 12.0 + k[2, i] / 9.0 - k[END, i] / 8.0
        worst = max(worst, abs(h * error) / w.scale[i])
    return worst


def tsitouras_step(h: float, p: Any, c: Any, d: Any, w: Any) -> float:
    """Tsitouras's fifth-order step: six evaluations [2]_."""
    y, k, trial = w.y, w.k, w.trial
    for i in range(N_DYNAMIC):
        trial[i] = y[i] + h * 0.161 * k[0, i]
    derivatives(trial, p, c, d, k[1])
    for i in range(N_DYNAMIC):
        trial[i] = y[i] + h * (-0.008480655492356989 * k[0, i] + 0.335480655492357 * k[1, i])
    derivatives(trial, p, c, d, k[2])
    for i in range(N_DYNAMIC):
        trial[i] = y[i] + h * (
            2.8971530571054935 * k[0, i] - 6.359448489975075 * k[1, i] + 4.3622954328695815 * k[2, i]
        )
    derivatives(trial, p, c, d, k[3])
    for i in range(N_DYNAMIC):
        trial[i] = y[i] + h * (
            5.325864828439257 * k[0, i] - 11.748883564062828 * k[1, i] + 7.4955393428898365 * k[2, i]
            - 0.09249506636175525 * k[3, i]
        )  # fmt: skip
    derivatives(trial, p, c, d, k[4])
    for i in range(N_DYNAMIC):
        trial[i] = y[i] + h * (
            5.86145544294642 * k[0, i] - 12.92096931784711 * k[1, i] + 8.159367898576159 * k[2, i]
            - 0.071584973281401 * k[3, i] - 0.028269050394068383 * k[4, i]
        )  # fmt: skip
    derivatives(trial, p, c, d, k[5])
    for i in range(N_STATES):
        w.y_new[i] = y[i] + h * (
            0.09646076681806523 * k[0, i] + 0.01 * k[1, i] + 0.4798896504144996 * k[2, i]
            + 1.379008574103742 * k[3, i] - 3.290069515436081 * k[4, i] + 2.324710524099774 * k[5, i]
        )  # fmt: skip
    derivatives(w.y_new, p, c, d, k[END])
    worst = 0.0
    for i in range(N_DYNAMIC):
        error = (
            -0.00178001105222577714 * k[0, i] - 0.0008164344596567469 * k[1, i]
            + 0.007880878010261995 * k[2, i] - 0.1447110071732629 * k[3, i]
            + 0.5823571654525552 * k[4, i] - 0.45808210592918697 * k[5, i] + k[END, i] / 66.0
        )  # fmt: skip
        worst = max(worst, abs(h * error) / w.scale[i])
    return worst


def cubic_middle(h: float, w: Any) -> None:
    """Middle of the cubic through both ends: its halves are the same cubic."""
    per_second = 1.5 / h if h > 0.0 else 0.0
    for i in range(N_STATES):
        a, b, fa, fb = w.y[i], w.y_new[i], w.k[0, i], w.k[END, i]
        w.y_mid[i] = 0.5 * (a + b) + 0.125 * h * (fa - fb)
        w.k_mid[i] = per_second * (b - a) - 0.25 * (fa + fb)


def _tsitouras_weights(x: float) -> tuple[float, ...]:
    square = x * x
    return (
        -1.0530884977290216
        * x
        * (x - 1.3299890189751412)
        * (square - 1.4364028541716351 * x + 0.7139816917074209),
        0.1017 * square * (square - 2.1966568338249754 * x + 1.2949852507374631),
        2.490627285651252793 * square * (square - 2.38535645472061657 * x + 1.57803468208092486),
        -16.54810288924490272 * (x - 1.21712927295533244) * (x - 0.61620406037800089) * square,
        47.37952196281928122 * (x - 1.203071208372362603) * (x - 0.658047292653547382) * square,
        -34.87065786149660974 * (x - 1.2) * (x - 0.666666666666666667) * square,
        2.5 * (x - 1.0) * (x - 0.6) * square,
    )


TSITOURAS_MIDDLE = _tsitouras_weights(0.5)
"""Weights of the rates in the middle of a step, from the interpolant of fourth degree [2]_."""


def tsitouras_middle(h: float, w: Any) -> None:
    """Middle of the interpolant of fourth degree."""
    per_second = 1.5 / h if h > 0.0 else 0.0
    for i in range(N_STATES):
        total = 0.0
        for j in range(END + 1):
            total += TSITOURAS_MIDDLE[j] * w.k[j, i]
        w.y_mid[i] = w.y[i] + h * total
        w.k_mid[i] = per_second * (w.y_new[i] - w.y[i]) - 0.25 * (w.k[0, i] + w.k[END, i])


def second_order_factor(error: float) -> float:
    """Step-size factor of Heun's error estimate."""
    return 5.0 if error <= 1e-3 else min(5.0, max(0.2, 0.9 * error**-0.5))


def third_order_factor(error: float) -> float:
    """Step-size factor of Bogacki and Shampine's error estimate."""
    return 5.0 if error <= 1e-3 else min(5.0, max(0.2, 0.9 * error ** (-1.0 / 3.0)))


class Method(NamedTuple):
    """An integration method: evaluations a step and what it replaces."""

    name: str
    evaluations: int
    replaces: tuple[tuple[Callable[..., Any], Callable[..., Any]], ...]


METHODS = (
    Method("Dormand-Prince 5(4)", 6, ()),
    Method("Tsitouras 5(4)", 6, ((pair.step, tsitouras_step), (pair.halve, tsitouras_middle))),
    Method("Dormand-Prince 5(4), cubic", 6, ((pair.halve, cubic_middle),)),
    Method(
        "Bogacki-Shampine 3(2)",
        3,
        (
            (pair.step, bogacki_shampine_step),
            (pair.halve, cubic_middle),
            (stepper.step_factor, third_order_factor),
        ),
    ),
    Method(
        "Heun 2(1)",
        2,
        ((pair.step, heun_step), (pair.halve, cubic_middle), (stepper.step_factor, second_order_factor)),
    ),
)


def evaluations_of(method: Method, outcomes: Any) -> Any:
    """Evaluations of the right-hand side of each run: the engine counts its own pair's for every step."""
    steps = outcomes["steps"] + outcomes["rejected_steps"]
    return outcomes["evaluations"] + (method.evaluations - loop.EVALUATIONS) * steps


@cache
def engine_with(method: Method) -> Any:
    """Return the compiled row runner with the method in place."""
    made: dict[Any, Any] = {}
    options: dict[str, Any] = {"error_model": "numpy", "nogil": True}
    for old, new in method.replaces:
        made[old] = twin(new, made, **options)
    return twin(run_rows, made, **options)
