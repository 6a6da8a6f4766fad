"""How dark a colour is, for plots that must be read without colour."""

from __future__ import annotations


def luminance(color: str) -> float:
    """Relative luminance of a ``#rrggbb`` colour, 0 black to 1 white [1].

    ``Y = 0.2126 R + 0.7152 G + 0.0722 B`` of the linear sRGB components [1]_.

    Parameters
    ----------
    color : str
        Six hexadecimal digits after a number sign.

    References
    ----------
    .. [1] IEC 61966-2-1:1999, sRGB colour space.

    Examples
    --------
    >>> luminance("#000000"), round(luminance("#ffffff"), 6)
    (0.0, 1.0)
    """
    channels = [int(color[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
