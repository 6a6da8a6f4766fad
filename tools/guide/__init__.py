"""What the guide's build adds to Sphinx: pages and pictures made from the program, links to the library."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tools.guide import formulas, made, names

if TYPE_CHECKING:
    from sphinx.application import Sphinx


def setup(app: Sphinx) -> dict[str, Any]:
    """Join the build."""
    app.connect("builder-inited", made.make, priority=100)  # before anything looks at the pages
    app.connect("autodoc-process-docstring", names.describe, priority=400)  # before numpydoc reads it
    app.connect("autodoc-skip-member", names.hide_fields)
    app.connect("doctree-read", names.link_names)
    app.add_html_math_renderer("mathml", (formulas.inline, None), (formulas.block, None))
    return {"parallel_read_safe": True, "parallel_write_safe": True}
