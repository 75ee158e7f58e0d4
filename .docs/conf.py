"""Settings of the site for Sphinx; `make.py` writes the pages and runs it."""

import re
from importlib import metadata
from typing import Any

project = "mountwright"
release = metadata.version("mountwright")
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]
exclude_patterns: list[str] = []

html_theme = "furo"
html_title = f"mountwright {release}"
html_static_path = ["static"]
html_css_files = ["site.css"]
html_show_sphinx = False
html_show_copyright = False
html_copy_source = False

myst_heading_anchors = 3
# Words of a docstring that are also names of several fields are not meant as links.
suppress_warnings = ["ref.python"]

autodoc_member_order = "bysource"
autodoc_typehints = "none"
autodoc_preserve_defaults = True
napoleon_google_docstring = False
napoleon_use_rtype = False
napoleon_use_ivar = True
nitpicky = False


def setup(app: Any) -> None:
    """Have docstrings read as they are meant."""
    written: dict[str, list[str]] = {}

    def before(app: Any, what: str, name: str, obj: Any, options: Any, lines: list[str]) -> None:
        # References as lists: their numbers are not unique on a page.
        lines[:] = [re.sub(r"^\.\. \[\d+\] ", "- ", line) for line in lines]
        written[name] = list(lines)

    def after(app: Any, what: str, name: str, obj: Any, options: Any, lines: list[str]) -> None:
        # Napoleon takes what stands before a colon for the type of a field.
        if what in ("attribute", "property"):
            lines[:] = written[name]

    app.connect("autodoc-process-docstring", before, priority=100)
    app.connect("autodoc-process-docstring", after, priority=900)
