#!/bin/sh
# Builds the page and dragcalc, and tests the page: the same answers as dragcalc's, and everything in a browser.
set -eu
cd "$(dirname "$0")/../.."
sh bindings/web/build.sh
[ -x build/dev/cli/dragcalc ] || { cmake --preset dev && cmake --build --preset dev --target dragcalc; }
/usr/bin/python3 -m pytest -q -p no:cacheprovider bindings/web/tests/test_answers.py
node --test bindings/web/tests/page.test.mjs
