"""Settings of the site that notebooks/site/build.sh makes. Nothing in it is fetched when it is read."""

import libdrag

project = "libdrag"
author = "libdrag developers"
copyright = "2026 libdrag developers, MIT licence"
release = version = libdrag.__version__
extensions = ["myst_parser", "numpydoc", "sphinx.ext.autodoc", "sphinx.ext.mathjax"]

html_theme = "furo"
html_title = f"libdrag {release}"
html_static_path = ["_static"]
html_css_files = ["katex/katex.min.css", "site.css"]
html_copy_source = False
# KaTeX sets the formulas, which Sphinx marks up as for MathJax.
html_js_files = [("katex/katex.min.js", {"defer": "defer", "priority": 100})]
mathjax_path = "katex/contrib/auto-render.js"
mathjax_options = {"defer": "defer", "onload": "renderMathInElement(document.body)"}

highlight_language = "none"

autodoc_member_order = "bysource"
autodoc_typehints = "signature"
numpydoc_show_class_members = False

myst_enable_extensions = ["dollarmath", "amsmath"]
myst_heading_anchors = 3
