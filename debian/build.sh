#!/bin/sh
# Builds the Debian packages in a clean Debian 12, lets lintian read them, and tests them in another, where only what
# they ask for is installed: sh debian/build.sh, as root; build/debian/*.deb. Each step can be had alone:
#     sh debian/build.sh build|lint|test
set -eu
cd "$(dirname "$0")/.."
out=$PWD/build/debian
sh .ci/install package

build() {
    rm -rf "$out"
    mkdir -p "$out"
    tar --exclude=./build --exclude=./.git -cf "$out/source.tar" .
    # mmdebstrap runs these with the new system's folder as $1.
    mmdebstrap --quiet --variant=buildd --format=null \
        --customize-hook='mkdir -p "$1/build/libdrag"' \
        --customize-hook="tar -xf '$out/source.tar' -C \"\$1/build/libdrag\"" \
        --customize-hook='chroot "$1" apt-get -qq -y --no-install-recommends build-dep /build/libdrag' \
        --customize-hook='chroot "$1" sh -c "cd /build/libdrag && dpkg-buildpackage -us -uc -b"' \
        --customize-hook="cp \"\$1\"/build/libdrag_* \"\$1\"/build/*.deb '$out'" \
        bookworm
    rm "$out/source.tar"
}
lint() { lintian --info --display-info --pedantic --fail-on error,warning,info "$out"/*.changes; }
test_installed() {
    rm -rf "$out/system"
    mmdebstrap --quiet --variant=apt --skip=cleanup/apt/lists bookworm "$out/system"
    autopkgtest --no-built-binaries "$out"/*.deb . -- chroot "$out/system"
    rm -rf "$out/system"
}

case "${1:-all}" in
build) build ;;
lint) lint ;;
test) test_installed ;;
all) build; lint; test_installed ;;
*) echo "usage: sh debian/build.sh [build|lint|test]" >&2; exit 2 ;;
esac
