"""A report as one file: text escaped, picture and style inside, nothing fetched."""

from __future__ import annotations

from dryermodel.show.pages.report.case import Case, by_number
from dryermodel.show.pages.report.content import report_of
from dryermodel.show.pages.report.words import TECHNICIAN, check_reader
from dryermodel.show.pages.shared.assemble import assets_of

UNSEEN = "\ufffd"
"""Stands for a letter that has no form: a control character, or one that turns the line around."""


def report_page(case: Case, reader: str, version: str) -> str:
    """Return the page as text.

    Parameters
    ----------
    case : Case
        What is reported.
    reader : str
        ``customer`` or ``technician``.
    version : str
        Of the program.

    Raises
    ------
    InputError
        Another reader.
    """
    import jinja2
    from markupsafe import Markup

    check_reader(reader)
    asset = assets_of(__package__)
    environment = jinja2.Environment(
        loader=jinja2.FunctionLoader(asset), autoescape=True, undefined=jinja2.StrictUndefined,
        finalize=lambda value: printable(value) if type(value) is str else value,
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    page = environment.get_template("report.html")
    told = {
        "css": Markup(asset("report.css")),
        "picture": Markup(_picture(case)),
        "done": bool(case.visit.work),
    }
    return page.render(r=report_of(case, reader, version), technical=reader == TECHNICIAN, **told) + "\n"


def printable(text: str) -> str:
    r"""Return text in which every letter can be seen.

    >>> printable("a\x00b\u202ec\u00a0d\n")
    'a\ufffdb\ufffdc d '
    """
    return "".join(c if c.isprintable() else " " if c.isspace() else UNSEEN for c in text)


def _picture(case: Case) -> str:
    """The picture of before and after, as an SVG element; empty where nothing is modelled."""
    if case.mending is None:
        return ""
    from dryermodel.show.pages.report.picture import change_picture

    before, after = (by_number(e.measured) for e in (case.found.evidence, case.visit.evidence_after()))
    return change_picture(case.mending, before, after, bool(case.visit.work), case.si)
