"""One step of an explicit Runge-Kutta pair, and the state half way through it.

Dormand and Prince's 5(4) pair: six new evaluations a step, an error estimate, the rates at both ends,
and a value in the middle for nothing more [1]_, [2]_. Values and rates at both ends and the value in the
middle make a polynomial of fourth degree; on each half of the step a cubic stands for it.

References
----------
.. [1] J. R. Dormand, P. J. Prince, "A family of embedded Runge-Kutta formulae", J. Comp. Appl. Math. 6
   (1980) 19-26.
.. [2] L. F. Shampine, "Some practical Runge-Kutta formulas", Math. Comp. 46 (1986) 135-150: the value in
   the middle, of fourth order.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.cycle.engine.constants import Constants
from dryermodel.cycle.engine.equations import Drive, derivatives
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import N_DYNAMIC, N_STATES

if TYPE_CHECKING:
    from dryermodel.cycle.engine.workspace import Workspace


def step(h: float, p: Parameters, c: Constants, d: Drive, w: Workspace) -> float:
    """Advance by `h` seconds from ``w.y`` to ``w.y_new``.

    Parameters
    ----------
    h : float
        Step [s].
    p, c, d : Parameters, Constants, Drive
        Passed to the equations.
    w : Workspace
        ``w.k[0]`` holds the rates at ``w.y`` on entry; ``w.k[END]`` those at ``w.y_new`` on return.

    Returns
    -------
    float
        Largest error of a dynamic state relative to its scale; at most 1 is acceptable.
    """
    y, k, trial = w.y, w.k, w.trial
    for i in range(N_DYNAMIC):  # the sums feed nothing back
        trial[i] = y[i] + h * (k[0, i] / 5.0)
    derivatives(trial, p, c, d, k[1])
    for i in range(N_DYNAMIC):
        trial[i] = y[i] + h * (3.0 / 40.0 * k[0, i] + 9.0 / 40.0 * k[1, i])
    derivatives(trial, p, c, d, k[2])
    for i in range(N_DYNAMIC):
        trial[i] = y[i] + h * (44.0 / 45.0 * k[0, i] - 56.0 / 15.0 * k[1, i] + 32.0 / 9.0 * k[2, i])
    derivatives(trial, p, c, d, k[3])
    for i in range(N_DYNAMIC):
        trial[i] = y[i] + h * (
            19372.0 / 6561.0 * k[0, i]
            - 25360.0 / 2187.0 * k[1, i]
            + 64448.0 / 6561.0 * k[2, i]
            - 212.0 / 729.0 * k[3, i]
        )
    derivatives(trial, p, c, d, k[4])
    for i in range(N_DYNAMIC):
        trial[i] = y[i] + h * (
            9017.0 / 3168.0 * k[0, i]
            - 355.0 / 33.0 * k[1, i]
            + 46732.0 / 5247.0 * k[2, i]
            + 49.0 / 176.0 * k[3, i]
            - 5103.0 / 18656.0 * k[4, i]
        )
    derivatives(trial, p, c, d, k[5])
    for i in range(N_STATES):
        w.y_new[i] = y[i] + h * (
            35.0 / 384.0 * k[0, i]
            + 500.0 / 1113.0 * k[2, i]
            + 125.0 / 192.0 * k[3, i]
            - 2187.0 / 6784.0 * k[4, i]
            + 11.0 / 84.0 * k[5, i]
        )
    derivatives(w.y_new, p, c, d, k[6])
    worst = 0.0
    for i in range(N_DYNAMIC):
        error = (
            71.0 / 57600.0 * k[0, i]
            - 71.0 / 16695.0 * k[2, i]
            + 71.0 / 1920.0 * k[3, i]
            - 17253.0 / 339200.0 * k[4, i]
            + 22.0 / 525.0 * k[5, i]
            - 1.0 / 40.0 * k[6, i]
        )
        worst = max(worst, abs(h * error) / w.scale[i])
    return worst


def halve(h: float, w: Workspace) -> None:
    """Put the state half way through the last step of `h` seconds into ``w.y_mid`` and its rates there.

    The rates are those of the polynomial of fourth degree through the values and rates at the ends and the
    value in the middle.
    """
    y, k = w.y, w.k
    per_second = 1.5 / h if h > 0.0 else 0.0
    for i in range(N_STATES):
        w.y_mid[i] = y[i] + 0.5 * h * (
            6025192743.0 / 30085553152.0 * k[0, i]
            + 51252292925.0 / 65400821598.0 * k[2, i]
            - 2691868925.0 / 45128329728.0 * k[3, i]
            + 187940372067.0 / 1594534317056.0 * k[4, i]
            - 1776094331.0 / 19743644256.0 * k[5, i]
            + 11237099.0 / 235043384.0 * k[6, i]
        )
        w.k_mid[i] = per_second * (w.y_new[i] - y[i]) - 0.25 * (k[0, i] + k[6, i])
