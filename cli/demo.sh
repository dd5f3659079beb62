#!/bin/sh
# From a bare Debian 12 to the first answer: installs what is needed, builds dragcalc, prices a swimmer's
# hip drop. Safe to run again.
set -eu
cd "$(dirname "$0")/.."

sh .ci/install run
log=$(mktemp)
trap 'rm -f "$log"' EXIT
{ cmake --preset release && cmake --build --preset release; } >"$log" 2>&1 || { cat "$log" >&2; exit 1; }

cat <<'EOT'
$ dragcalc cost --event "100 free" --course lcm --time 1:02.40 --sex f --height 172cm --mass 63kg \
      --hip-drop 4deg --breathe every-2

EOT
build/release/cli/dragcalc cost --event "100 free" --course lcm --time 1:02.40 --sex f --height 172cm \
    --mass 63kg --hip-drop 4deg --breathe every-2
