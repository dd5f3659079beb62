#!/bin/sh
# Installs what the tests need and runs all of them: format, warnings with two compilers, tests optimised and
# under sanitizers, headers alone, wrong units that must not compile, the installed package. Stops at the
# first failure. Safe to run again: what has passed is run again only when a file of the project or an
# installed package has changed, or build/passed is removed.
set -eu
cd "$(dirname "$0")/.."

log=$(mktemp)
trap 'rm -f "$log"' EXIT
files() { # what git would commit, or every file of an unpacked archive
    git ls-files --cached --others --exclude-standard 2>/dev/null || find . -path ./build -prune -o -type f -print
}
fingerprint() {
    { files | sort | tr '\n' '\0' | xargs -0 sha256sum; dpkg-query -W; } 2>/dev/null | sha256sum | cut -d ' ' -f 1
}

# One line per stage; everything a failing stage said.
total=0
stage() {
    name=$1
    shift
    stamp=build/passed/$(echo "$name" | tr -c 'a-zA-Z0-9\n' _)
    if [ "$(head -n 1 "$stamp" 2>/dev/null)" = "$tree" ]; then
        tests=$(tail -n +2 "$stamp")
        how='as before: nothing changed'
    else
        rm -f "$stamp"
        start=$(date +%s)
        if ! "$@" >"$log" 2>&1; then
            grep -vE '^ +Start +[0-9]+:|^ *[0-9]+/[0-9]+ Test .* Passed ' "$log" || true
            echo "FAILED: $name: $*"
            exit 1
        fi
        tests=$(sed -n 's/^100% tests passed, 0 tests failed out of //p' "$log")
        how="$(($(date +%s) - start)) s"
        mkdir -p build/passed
        { echo "$tree"; echo "$tests"; } >"$stamp"
    fi
    total=$((total + ${tests:-1}))
    echo "passed: $name ($how)${tests:+: $tests tests}"
}
format_check() {
    files | grep -E '\.(cpp|hpp)$' | xargs clang-format-14 --dry-run -Werror &&
        files | grep -E '\.pyi?$' | xargs black -q -l 110 --check
}
build() { cmake --preset "$@" && cmake --build --preset "$1"; }
# What nobody compiles again: to look it up goes through the preprocessor.
uncached() (export CCACHE_DISABLE=1 && "$@")

sh .ci/install test
# The wheel under test is what was compiled already, and so is most of a second run.
export CCACHE_DIR="$PWD/build/ccache" CCACHE_BASEDIR="$PWD" CCACHE_NOHASHDIR=true
tree=$(fingerprint)
stage 'formatted' format_check
# Its tests are linked with both libraries: clang compiles them in two thirds of the time.
stage 'built by clang++ with AddressSanitizer and UBSan, without a warning' uncached build clang
stage 'built by g++ without a warning' build ci -DLIBDRAG_TEST_OBJECTS="$PWD/build/clang"
if command -v aarch64-linux-gnu-g++ >/dev/null; then # cli_builds compares what is there
    stage 'built for another processor' build aarch64
fi
stage 'each header compiles alone' uncached cmake --build --preset clang-headers
stage 'tests, optimised' ctest --preset ci -LE 'compile_fail|consumer|python'
stage 'Python package and notebooks' ctest --preset ci -L python
stage 'wrong units do not compile (g++)' ctest --preset ci -L compile_fail
stage 'installed package serves a stranger' ctest --preset ci -L consumer
stage 'tests under sanitizers' ctest --preset sanitizers
stage 'wrong units do not compile (clang++)' ctest --preset clang -L compile_fail
stage 'random text is read or refused (libFuzzer)' ctest --preset clang -L fuzz
if command -v em++ >/dev/null && command -v chromium >/dev/null; then # sh .ci/install web
    stage 'the page in a browser' env DRAGCALC="$PWD/build/ci/cli/dragcalc" sh bindings/web/test.sh
fi
echo "$total passed, 0 failed"
