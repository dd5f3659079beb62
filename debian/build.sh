#!/bin/sh
# Builds the Debian packages in a clean Debian 12, lets lintian read them, and tests them in another where nothing but
# what they ask for is installed: sh debian/build.sh, as root; build/debian/*.deb. Safe to run again.
set -eu
cd "$(dirname "$0")/.."
sh .ci/install package
out=$PWD/build/debian
rm -rf "$out"
mkdir -p "$out"

mmdebstrap --quiet --variant=buildd --include=ca-certificates bookworm "$out/clean.tar"
for folder in build test; do
    mkdir "$out/$folder"
    tar --exclude=./dev -C "$out/$folder" -xf "$out/clean.tar"
done

mkdir "$out/build/libdrag"
tar --exclude=./build --exclude=./.git -c . | tar -x -C "$out/build/libdrag"
