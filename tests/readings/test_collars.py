"""The collar of many machines: the sums of one, whether compiled or not."""

from __future__ import annotations

import numpy as np
import pytest

from dryermodel.cycle.run.many import as_rows, parameters_of
from dryermodel.readings.collar import at_collar
from dryermodel.readings.collars import MANY, at_collars
from dryermodel.scenario.faults import catalogue
from dryermodel.scenario.model import load_scenario


def test_many_collars_are_those_of_each() -> None:
    """Every fault at several severities, with and without wind at the hood; compiled from `MANY` on."""
    sound = load_scenario("family_load", ["vent.flap_pressure=0.02 inH2O"])
    bad = [
        {key: s}
        for key, fault in catalogue().items()
        for s in ((0.2, 0.5, 0.8, 1.0) if fault.graded else (1,))
    ]
    machines = [sound.with_faults(faults).to_parameters() for faults in bad] * 3
    machines += [p._replace(house_depressurisation=30.0) for p in machines]
    rows = as_rows(machines)
    assert len(rows) >= MANY
    expected = np.array([tuple(at_collar(p)) for p in machines]).T
    # The same source; a platform's own power and logarithm may round the last bit otherwise.
    assert at_collars(rows) == pytest.approx(expected, rel=1e-12, abs=1e-300)
    few = rows[: MANY - 1]
    assert at_collars(few).tolist() == expected[:, : MANY - 1].tolist()
    assert parameters_of(rows[5]) == machines[5]
