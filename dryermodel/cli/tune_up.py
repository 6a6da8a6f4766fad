"""``dryermodel tune-up``: the list of work for a clipboard."""

from __future__ import annotations

import typer

from dryermodel.cli._options import SiOption
from dryermodel.cli._run import exit_on_input_error


@exit_on_input_error
def tune_up(si: SiOption = False) -> None:
    """Print the tune-up in the order of safe work, with why, cautions and readings, for a clipboard."""
    from dryermodel.field.tune_up import tune_up as steps
    from dryermodel.show.text.tune_up import lines

    typer.echo("\n".join(lines(steps(), si)))
