"""Formulas as MathML, which browsers draw by themselves: no script, no network."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from docutils.nodes import Element


def mathml(latex: str, display: str) -> str:
    """A formula written as LaTeX, as MathML; display is ``inline`` or ``block``."""
    from latex2mathml.converter import convert

    return str(convert(latex, display=display))


def inline(translator: Any, node: Element) -> None:
    """Write a formula that stands in a line."""
    from docutils.nodes import SkipNode

    translator.body.append(mathml(node.astext(), "inline"))
    raise SkipNode


def block(translator: Any, node: Element) -> None:
    """Write a formula that stands by itself; a wide one scrolls, not the page."""
    from docutils.nodes import SkipNode

    translator.body.append(f'<div class="formula">{mathml(node.astext(), "block")}</div>\n')
    raise SkipNode
