"""``dryermodel report``: a visit as one page for the customer or the technician."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dryermodel.cli import _completion
from dryermodel.cli._files import check_page
from dryermodel.cli._options import (
    BANK,
    FRESH,
    SEED,
    BankOption,
    FreshOption,
    SeedOption,
    SiOption,
    check_draws,
)
from dryermodel.cli._progress import progress_bar
from dryermodel.cli._run import exit_on_input_error

if TYPE_CHECKING:
    from dryermodel.field.visit import Visit
    from dryermodel.show.pages.report.case import Case


@exit_on_input_error
def report(
    visit: Annotated[
        str, typer.Argument(metavar="VISIT", help="A visit file.", autocompletion=_completion.visits)
    ],
    output: Annotated[Path, typer.Option("--output", "-o", metavar="FILE", help="Page to write (.html).")],
    reader: Annotated[
        str, typer.Option("--for", metavar="WHOM", help="customer or technician: for whom it is written.")
    ] = "customer",
    bank: BankOption = BANK,
    fresh: FreshOption = FRESH,
    seed: SeedOption = SEED,
    si: SiOption = False,
) -> None:
    """Write a visit as one page to print or send: what was found, done, changed, and is left to do."""
    from dryermodel import __version__
    from dryermodel.field.visit import load_visit
    from dryermodel.files import write_file
    from dryermodel.show.pages.report.page import report_page
    from dryermodel.show.pages.report.words import check_reader

    check_reader(reader)
    check_page(output)
    check_draws(bank, fresh, seed)
    held = load_visit(visit)
    held = held.in_si() if si else held
    page = report_page(_case(held, bank, fresh, seed, si), reader, __version__).encode("utf-8")
    write_file(output, page)
    typer.echo(f"{output.as_posix()}: {len(page) / 1e3:.0f} kB, for the {reader}")


def _case(visit: Visit, bank: int, fresh: int, seed: int, si: bool) -> Case:
    """Return all that the page is made of."""
    from dryermodel.inference.cautions import must_leave
    from dryermodel.inference.diagnosis import diagnose
    from dryermodel.inference.gains import mend
    from dryermodel.inference.keep import bank_for
    from dryermodel.inference.next_test import next_tests, shown_in_si
    from dryermodel.inference.priors import priors_of
    from dryermodel.show.pages.report.case import Case, known, to_mend

    evidence, after = visit.evidence(), visit.evidence_after()
    with progress_bar("machines", bank) as progress:
        machines = bank_for(visit.scenario, priors_of(visit.scenario), bank, seed, progress)
    found = diagnose(machines, evidence, seed=seed, fresh=fresh)
    afterwards = diagnose(machines, after, seed=seed, fresh=fresh) if known(after) else None
    mending = mend(found, to_mend(visit, found))
    tests = [] if must_leave(found) else next_tests(afterwards or found)
    return Case(visit, found, shown_in_si(tests) if si else tests, mending, afterwards, si)
