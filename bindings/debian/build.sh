#!/bin/sh
# Builds the Debian packages in a clean Debian 12, lets lintian read them, and tests them in another, where only what
# they ask for is installed: sh bindings/debian/build.sh, as root; build/debian/*.deb. Each step can be had alone:
#     sh bindings/debian/build.sh build|lint|test
set -eu
cd "$(dirname "$0")/../.."
out=$PWD/build/debian
sh .ci/install package

sources() { # without what was built of them
    rm -rf "$out/libdrag"
    mkdir -p "$out/libdrag"
    tar --exclude=./build --exclude=./.git -c . | tar -x -C "$out/libdrag"
    mv "$out/libdrag/bindings/debian" "$out/libdrag/debian" # where Debian's tools look
}
build() {
    rm -rf "$out"
    sources
    # mmdebstrap runs these with the new system's folder as $1.
    mmdebstrap --quiet --variant=buildd --format=null \
        --customize-hook="mkdir \"\$1/build\" && cp -r '$out/libdrag' \"\$1/build\"" \
        --customize-hook='chroot "$1" apt-get -qq -y --no-install-recommends build-dep /build/libdrag' \
        --customize-hook='chroot "$1" sh -c "cd /build/libdrag && dpkg-buildpackage -us -uc -b"' \
        --customize-hook="cp \"\$1\"/build/libdrag_* \"\$1\"/build/*.deb '$out'" \
        bookworm
}
lint() { lintian --info --display-info --pedantic --fail-on error,warning,info "$out"/*.changes; }
test_installed() {
    sources
    rm -rf "$out/system"
    mmdebstrap --quiet --variant=apt --skip=cleanup/apt/lists bookworm "$out/system"
    autopkgtest --no-built-binaries "$out"/*.deb "$out/libdrag/" -- chroot "$out/system"
    rm -rf "$out/system"
}

case "${1:-all}" in
build) build ;;
lint) lint ;;
test) test_installed ;;
all) build; lint; test_installed ;;
*) echo "usage: sh bindings/debian/build.sh [build|lint|test]" >&2; exit 2 ;;
esac
