#!/bin/sh
# Builds the page and dragcalc, and tests the page: the same answers as dragcalc's (or DRAGCALC's, a path), and everything in
# a browser.
set -eu
cd "$(dirname "$0")/../.."
sh bindings/web/build.sh
if [ -z "${DRAGCALC:-}" ]; then
    export DRAGCALC="$PWD/build/dev/cli/dragcalc"
    [ -x "$DRAGCALC" ] || { cmake --preset dev && cmake --build --preset dev --target dragcalc; }
fi
/usr/bin/python3 -m pytest -q -p no:cacheprovider bindings/web/tests/test_answers.py
node --test bindings/web/tests/page.test.mjs
