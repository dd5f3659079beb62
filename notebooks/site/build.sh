#!/bin/sh
# Makes the documentation as a site of files that need no network: sh notebooks/site/build.sh; open build/docs/index.html.
# Builds the library first, unless LIBDRAG_BUILD_DIR names a build tree with dragcalc and the Python package.
set -eu
cd "$(dirname "$0")/../.."
sh .ci/install docs
build=${LIBDRAG_BUILD_DIR:-$PWD/build/python}
if [ -z "${LIBDRAG_BUILD_DIR:-}" ]; then
    cmake --preset python -DLIBDRAG_BUILD_CLI=ON && cmake --build --preset python
fi
export LIBDRAG_BUILD_DIR="$build" PYTHONPATH="$build/bindings/python" PYTHONDONTWRITEBYTECODE=1
site=$PWD/build/docs
source=$PWD/build/docs-source
rm -rf "$source" "$site"
mkdir -p "$source/_static/katex/contrib"

# The notebooks as they run without sliders, which nobody can move here.
export IPYTHONDIR="$source/ipython"
mkdir -p "$IPYTHONDIR/profile_default/startup"
echo 'import sys; sys.modules["ipywidgets"] = None' >"$IPYTHONDIR/profile_default/startup/no_sliders.py"
sh notebooks/open.sh markdown
mv "$build/notebooks/markdown" "$source/notebooks"

katex=/usr/share/javascript/katex
cp -rL $katex/katex.min.js $katex/katex.min.css $katex/fonts "$source/_static/katex"
cp -L $katex/contrib/auto-render.js "$source/_static/katex/contrib"
cp -L /usr/share/javascript/normalize.css/normalize.css "$source/_static"
cp notebooks/site/conf.py "$source"
cp notebooks/site/site.css "$source/_static"
/usr/bin/python3 notebooks/site/pages.py "$build" "$source"
/usr/bin/python3 -m sphinx -q -W --keep-going "$source" "$site"
mkdir -p "$site/cli"
cp -r cli/pictures "$site/cli" # that the README shows
# Debian's theme expects a server, for a style sheet in /javascript and for a script that imports another.
sed -i 's|url(/javascript/normalize.css/|url(../|' "$site/_static/styles/furo.css"
cd "$site/_static/scripts"
sed '/^import Gumshoe/d' furo.js | cat gumshoe-patched.js - >both.js && mv both.js furo.js
cd - >/dev/null
echo '[The rest of the documentation](../index.html)' >"$source/by_name.md"
doxygen - <<END
PROJECT_NAME = libdrag
INPUT = libdrag/include $source/by_name.md
USE_MDFILE_AS_MAINPAGE = $source/by_name.md
STRIP_FROM_PATH = libdrag/include
STRIP_FROM_INC_PATH = libdrag/include
RECURSIVE = YES
EXTRACT_ALL = YES
JAVADOC_AUTOBRIEF = YES
OUTPUT_DIRECTORY = $site
HTML_OUTPUT = headers
HTML_EXTRA_STYLESHEET = notebooks/site/headers.css
HTML_COLORSTYLE_SAT = 40
GENERATE_LATEX = NO
GENERATE_TREEVIEW = YES
HAVE_DOT = NO
QUIET = YES
WARN_IF_INCOMPLETE_DOC = NO
WARN_IF_DOC_ERROR = NO
END
/usr/bin/python3 notebooks/site/check_links.py "$site"
