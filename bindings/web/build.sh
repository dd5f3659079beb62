#!/bin/sh
# Builds the page: build/web/index.html, with sw.js and manifest.webmanifest for a server.
set -eu
cd "$(dirname "$0")/../.."
# Where Debian has node's packages, for the linker's scripts under any node.
export NODE_PATH=/usr/share/nodejs
if command -v ccache >/dev/null; then export EM_COMPILER_WRAPPER=ccache; fi
cmake --preset web >/dev/null
cmake --build --preset web
cd bindings/web
[ node_modules -nt package-lock.json ] || npm ci --no-audit --no-fund --loglevel=error
node_modules/.bin/tsc
node make_page.mjs ../../build/web/bindings/web ../../build/web
