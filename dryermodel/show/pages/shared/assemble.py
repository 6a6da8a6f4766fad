"""A page put together: template, styles and scripts in one file that asks for nothing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from importlib.resources import files
from typing import Any

SHARED = ("page", "moving", "sliding", "sketch", "worker")
"""Scripts of every page that computes, in the order in which they run, before the page's own."""


def assets_of(package: str) -> Callable[[str], str]:
    """Return what reads a file from a page's own `assets`, or from the shared ones where it has none.

    Parameters
    ----------
    package : str
        Name of the page's package.

    >>> assets_of("dryermodel.show.pages.shared")("head.html").splitlines()[0]
    '<meta charset="utf-8">'
    """
    homes = [files(name).joinpath("assets") for name in (package, __package__)]

    def asset(name: str) -> str:
        found = next(
            (home.joinpath(name) for home in homes if home.joinpath(name).is_file()), homes[0] / name
        )
        return found.read_text(encoding="utf-8")

    return asset


def assemble(
    package: str, name: str, scripts: Mapping[str, str], own: Sequence[str], **values: object
) -> str:
    """Return a page that computes, as text.

    Parameters
    ----------
    package : str
        Whose `assets` hold the template, the style and the scripts.
    name : str
        Of the template and the style, without their endings.
    scripts : mapping of str to str
        Scripts that run first, such as the engine, by the name of their element.
    own : sequence of str
        The page's own scripts, after :data:`SHARED`.
    **values
        What the template needs beside `css` and `scripts`.
    """
    import jinja2
    from markupsafe import Markup

    asset = assets_of(package)
    environment = jinja2.Environment(
        loader=jinja2.FunctionLoader(asset), autoescape=True, undefined=jinja2.StrictUndefined
    )
    environment.policies["json.dumps_kwargs"] = {"sort_keys": False}  # what comes first is meant to
    texts = {**scripts, **{script: asset(f"{script}.js") for script in (*SHARED, *own)}}
    told = [{"id": script, "text": Markup(inside(text))} for script, text in texts.items()]
    given: dict[str, Any] = {"css": Markup(inside(asset("base.css") + asset(f"{name}.css"))), "scripts": told}
    return environment.get_template(f"{name}.html").render(**given, **values) + "\n"


def inside(text: str) -> str:
    """Return a script or a style that may stand in a page as it is; ValueError if it would end its element.

    >>> inside("1 < 2")
    '1 < 2'
    """
    lowered = text.lower()
    if "</" in lowered or "<!--" in lowered:
        raise ValueError("a script that would end its own element")
    return text
