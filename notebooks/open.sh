#!/bin/sh
# Installs what the notebooks need, builds the Python package, and opens a notebook in the browser, or renders
# them as pages to read, print or hand in:
#     sh notebooks/open.sh 4        # opens notebook 4
#     sh notebooks/open.sh html     # all of them: build/python/notebooks/*.html
#     sh notebooks/open.sh html 4   # one
# Runs from any folder, with Debian's Python, which the package is built for, whichever python3 comes first in PATH.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
python=/usr/bin/python3

usage() { echo "usage: sh notebooks/open.sh 1|2|3|4|5|6|7, or html [1|2|3|4|5|6|7]" >&2; exit 2; }
how=open
case "${1:-}" in html | markdown) how=$1; shift ;; esac
[ $# -le 1 ] || usage
case "${1:-}" in
[1-7]) set -- "$root/notebooks/$1"_*.ipynb ;;
'') [ "$how" != open ] || usage; set -- "$root"/notebooks/*.ipynb ;;
*) usage ;;
esac

sh "$root/.ci/install" notebooks
build=${LIBDRAG_BUILD_DIR:-$root/build/python}
if [ -z "${LIBDRAG_BUILD_DIR:-}" ]; then # else built already, as for the tests
    (cd "$root" && { [ -f build/python/CMakeCache.txt ] || cmake --preset python; } && cmake --build --preset python)
fi
export PYTHONPATH="$build/bindings/python${PYTHONPATH:+:$PYTHONPATH}"

# A kernel named python3 that somebody has installed may be of another Python: ours comes first.
export JUPYTER_PATH="$build/jupyter${JUPYTER_PATH:+:$JUPYTER_PATH}"
export PYDEVD_DISABLE_FILE_VALIDATION=1 # a warning of the debugger, which is not used
mkdir -p "$build/jupyter/kernels/python3"
cat >"$build/jupyter/kernels/python3/kernel.json" <<END
{"argv": ["$python", "-m", "ipykernel_launcher", "-f", "{connection_file}"],
 "display_name": "Python 3", "language": "python"}
END

if [ "$how" != open ]; then
    [ "$how" = html ] && folder=$build/notebooks || folder=$build/notebooks/$how # as the site has them
    exec "$python" -m nbconvert --log-level WARN --to "$how" --execute --output-dir "$folder" \
        --TagRemovePreprocessor.enabled=True --TagRemovePreprocessor.remove_input_tags hide-input "$@"
fi
as_root=
[ "$(id -u)" != 0 ] || as_root=--allow-root
exec "$python" -m notebook $as_root "$@"
