"""Sphinx's configuration of the documentation site. `python -m tests.site` builds it."""

from __future__ import annotations

import re

from docutils import nodes
from sphinx.application import Sphinx

from hoggin.handbook.formulas import typeset
from tests.site.lexer import HogLexer

project = "Hoggin"
author = ""
html_title = "Hoggin"
root_doc = "index"
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]

myst_heading_anchors = 4
myst_links_external_new_tab = False
nitpicky = True
nitpick_ignore_regex = [("py:.*", ".*")]  # a signature names types that have no page here
highlight_language = "text"
smartquotes_action = "D"  # the dashes that `napoleon` writes; quotes stay as they are typed

default_role = "code"  # docstrings write `name`, as Markdown does
autodoc_member_order = "bysource"
autodoc_typehints = "signature"
autodoc_class_signature = "separated"  # nobody makes a result by hand
autodoc_typehints_format = "short"
autodoc_type_aliases = {
    name: name for name in ("ArrayLike", "Array", "Points", "Stated", "Value", "Cases")
}
autodoc_preserve_defaults = True
python_use_unqualified_type_names = True
python_maximum_signature_line_length = 80
napoleon_numpy_docstring = False
napoleon_use_ivar = True
napoleon_custom_sections = [("Source", "params_style")]

html_theme = "furo"
html_static_path = ["static"]
html_css_files = ["site.css"]
html_theme_options: dict[str, list[str]] = {"top_of_page_buttons": []}
html_show_copyright = False
html_show_sphinx = False
html_show_sourcelink = False
html_copy_source = False
html_show_search_summary = False  # it reads other pages, which a browser does not do from files
html_domain_indices = False
pygments_style = "friendly"
pygments_dark_style = "github-dark"


def setup(app: Sphinx) -> None:
    app.add_lexer("hog", HogLexer)
    app.connect("doctree-resolved", _typeset)
    app.connect("autodoc-process-docstring", _keep_formulas, priority=0)
    app.connect("autodoc-process-signature", _name_aliases)


def _typeset(_app: Sphinx, page: nodes.document, _name: str) -> None:
    """Raise the exponents of formulas in every text but code."""
    for text in list(page.findall(nodes.Text)):
        is_code = isinstance(text.parent, nodes.literal | nodes.literal_block)
        if not is_code and ("^" in text or "sqrt" in text):
            parts = ((raised, nodes.Text(part)) for raised, part in typeset(str(text)))
            shown = [nodes.superscript("", "", part) if up else part for up, part in parts]
            text.parent.replace(text, shown)


def _keep_formulas(
    _app: Sphinx, _kind: str, _name: str, _of: object, _how: object, lines: list[str]
) -> None:
    """Docstrings are plain text with `names` in it: `|x|` and `a * b` are formulas, not markup."""
    for place, line in enumerate(lines):
        parts = line.split("`")
        parts[::2] = [re.sub(r"[*|\\]|(?<=\w)_(?!\w)", r"\\\g<0>", part) for part in parts[::2]]
        lines[place] = "`".join(parts)


def _name_aliases(
    _app: Sphinx, _kind: str, _name: str, _of: object, _how: object, *parts: str | None
) -> tuple[str | None, ...]:
    """The alias of a type within another type, which Sphinx writes as the object it keeps."""
    return tuple(part and re.sub(r"TypeAliasForwardRef\('(\w+)'\)", r"\1", part) for part in parts)
