"""The engine as one JavaScript file, from the same source as the interpreted and the compiled one.

The file needs nothing else. It defines one name, ``dryerEngine``, whether it stands in a page, is loaded by
a worker, or is imported or required by Node::

    dryerEngine.PARAMETERS   names of the numbers a cycle is computed from
    dryerEngine.OUTCOMES     names of what is kept of a cycle
    dryerEngine.runCycle(parameters, interruptions)
        parameters: {name: number}, every one of PARAMETERS, in SI
        interruptions: [[time in s, code], ...], those of one time in their order; may be left out
        gives {name: number}, one for each of OUTCOMES, NaN where it does not apply
    dryerEngine.recordCycle(parameters, interruptions)
        gives {outcome, recording}: the same, and arrays time, state, rate, discrete and cause of each step
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict
from importlib.resources import files
from typing import Any

from dryermodel.cycle.engine.outcome import OUTCOMES, Outcome
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.run.rows import run_rows, scratch
from dryermodel.cycle.run.translation.expressions import literal
from dryermodel.cycle.run.translation.program import translate

_HEAD = """// The cycle of a clothes dryer, made from dryermodel's Python source; not written by hand.
globalThis.dryerEngine = (() => {
"use strict";
"""
_TAIL = """
return Object.freeze({ PARAMETERS: $PARAMETERS, OUTCOMES: $OUTCOMES, runCycle, recordCycle });
})();
"""


def engine_javascript() -> str:
    """Return the whole file as text: plain ASCII, the same bytes every time."""
    names = [f"const $PARAMETERS = {_frozen(Parameters._fields)};", f"const $OUTCOMES = {_frozen(OUTCOMES)};"]
    fields = "".join(f"    this.{name} = given.{name};\n" for name in Parameters._fields)
    record = f"class $Parameters {{\n  constructor(given) {{\n{fields}  }}\n}}"
    blank = "".join(
        f"    this.{name} = {literal(value, TypeError)};\n" for name, value in asdict(Outcome()).items()
    )
    outcome = f"class $Outcome {{\n  constructor() {{\n{blank}  }}\n}}"
    api = files(__package__).joinpath("engine_api.js").read_text(encoding="utf-8")
    return "\n".join([_HEAD, *names, record, outcome, translate(run_rows, scratch), api, _TAIL])


def library_javascript(name: str, *functions: Callable[..., Any]) -> str:
    """Return plain functions, and all that they call, as a script that defines one name.

    Parameters
    ----------
    name : str
        What the script defines: a frozen object with the functions under their own names.
    *functions : function
        As for :func:`~dryermodel.cycle.run.translation.program.translate`; no two of the same name.

    Examples
    --------
    >>> from dryermodel.physics.fuel import orifice_area
    >>> library_javascript("sums", orifice_area).splitlines()[-2]
    'return Object.freeze({ orifice_area });'
    """
    told = ", ".join(function.__name__ for function in functions)
    head = f'globalThis.{name} = (() => {{\n"use strict";\n'
    return f"{head}{translate(*functions)}return Object.freeze({{ {told} }});\n}})();\n"


def _frozen(names: tuple[str, ...]) -> str:
    return f"Object.freeze({json.dumps(list(names))})"
