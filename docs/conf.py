"""How the guide is built: ``python -m sphinx -W --keep-going -n docs docs/_build``."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from dryermodel import __version__

project = "dryermodel"
author = "The dryermodel authors"
copyright = f"2026, {author}"
version = release = __version__

extensions = ["myst_nb", "sphinx.ext.autodoc", "numpydoc", "tools.guide"]
exclude_patterns = ["_build", "jupyter_execute", "**.ipynb_checkpoints"]
nitpicky = True

myst_heading_anchors = 4
myst_enable_extensions = ["dollarmath", "colon_fence"]
nb_execution_mode = "auto"  # notebooks are kept without outputs and run when the guide is built
nb_execution_raise_on_error = True
nb_execution_timeout = 900  # the first that runs many cycles compiles the engine, slowly on a busy machine
nb_merge_streams = True
nb_code_prompt_show = "Show the code"
nb_code_prompt_hide = "Hide the code"

html_theme = "furo"
html_title = f"dryermodel {__version__}"
html_static_path = ["_static"]
html_css_files = ["guide.css"]
html_copy_source = False
html_show_sourcelink = False
html_show_sphinx = False
html_math_renderer = "mathml"

autodoc_typehints = "none"
autodoc_member_order = "bysource"
add_module_names = False
toc_object_entries_show_parents = "hide"
default_role = "literal"
numpydoc_show_class_members = False
numpydoc_class_members_toctree = False
numpydoc_xref_param_type = False

# Names of the standard library that docstrings mention: the guide is built without a network.
nitpick_ignore = [("py:class", "concurrent.futures.Executor"), ("py:class", "collections.abc.Callable")]
nitpick_ignore_regex = [("py:data", r"[A-Z_]+")]  # constants without a docstring are not in the reference
