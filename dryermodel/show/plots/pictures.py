"""Pictures into files: whole or not at all, and the same bytes each time."""

from __future__ import annotations

import warnings
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from dryermodel.errors import InputError, did_you_mean
from dryermodel.files import write_file
from dryermodel.show.plots.style import HASHSALT, RC

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from dryermodel.show.plots.cycle import CyclePlot

DOTS_PER_INCH = 130

# Dates and version numbers would make two equal pictures differ.
FORMATS: dict[str, dict[str, Any]] = {
    ".png": {"metadata": {"Software": None}, "dpi": DOTS_PER_INCH},
    ".svg": {"metadata": {"Date": None, "Creator": None}},
    ".pdf": {"metadata": {"CreationDate": None, "Producer": None, "Creator": None}},
}
"""Endings that can be written, with what fixes their bytes."""


def save_figure(picture: Figure | CyclePlot, path: str | Path) -> Path:
    """Write a picture to a file, in the format of its ending.

    The file appears whole under its name or not at all; one that is there is replaced.

    Parameters
    ----------
    picture : Figure or CyclePlot
        What to write.
    path : str or Path
        File whose name ends in .png, .svg or .pdf.

    Returns
    -------
    Path
        The file written.

    Raises
    ------
    InputError
        The ending is not one of these, or the file cannot be written there.
    """
    target = Path(path)
    suffix = target.suffix.lower()
    if suffix not in FORMATS:
        near = did_you_mean(suffix, FORMATS)
        raise InputError(f"a picture's name ends in {', '.join(FORMATS)}, not '{suffix}'{near}", str(path))
    write_file(target, figure_bytes(picture, suffix))
    return target


def figure_bytes(
    picture: Figure | CyclePlot, suffix: str, without: Mapping[str, None] = MappingProxyType({})
) -> bytes:
    """Return a picture as the bytes of a file.

    Parameters
    ----------
    picture : Figure or CyclePlot
        What to write.
    suffix : str
        One of `FORMATS`.
    without : mapping of str to None
        More that is not said about the file in the file.
    """
    import matplotlib
    from matplotlib.figure import Figure

    figure = picture if isinstance(picture, Figure) else picture.figure
    buffer = BytesIO()
    form = {**FORMATS[suffix], "metadata": {**FORMATS[suffix]["metadata"], **without}}
    with (
        warnings.catch_warnings(),
        matplotlib.rc_context({**RC, "svg.hashsalt": HASHSALT, "svg.fonttype": "path", "pdf.fonttype": 42}),
    ):
        # A letter the font lacks is drawn as a box, and that is all there is to say of it.
        warnings.filterwarnings("ignore", "Glyph .* missing")
        figure.savefig(buffer, format=suffix[1:], **form)
    return buffer.getvalue()
