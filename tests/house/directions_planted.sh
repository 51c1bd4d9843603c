#!/usr/bin/env bash
# directions.sh notices an include that is planted: in each room in turn, of a room it may not include, on a copy.
set -euo pipefail
cd "$(dirname "$0")/../.."
copy=$(mktemp -d)
trap 'rm -rf "$copy"' EXIT
cp -r CMakeLists.txt DEVELOPERS.md LICENSE README.md grammar compiler runtime policies tests "$copy"/
bash tests/house/directions.sh "$copy" >/dev/null || { echo "the copy fails before anything is planted"; exit 1; }

# plant FILE LINE WHAT: it must fail with FILE in its words.
count=0
plant() {
  cp "$copy/$1" "$copy/kept"
  printf '%s\n' "$2" >>"$copy/$1"
  if said=$(bash tests/house/directions.sh "$copy"); then
    echo "not noticed: $2 in $1"
    exit 1
  fi
  grep -qF "$1:" <<<"$said" || { printf 'noticed, but elsewhere: %s in %s\n%s\n' "$2" "$1" "$said"; exit 1; }
  mv "$copy/kept" "$copy/$1"
  count=$((count + 1))
}
for room in $(sed -nE 's/^lacestay_room\(([a-z/]+).*/\1/p' CMakeLists.txt); do
  [ "$room" = runtime/command ] || plant "$(ls "$room"/*.cc | head -n 1)" '#include "runtime/command/command_line.hpp"'
  plant "$(ls "$room"/*.hpp "$room"/*.cc 2>/dev/null | head -n 1)" '#  include "tests/support/policy/shipped.hpp"'
done
plant runtime/engine/engine.cc '#include "compiler/check/checker.hpp"'
plant compiler/compare/difference.cc '#include "compiler/proof/proof.hpp"'
# A source in no room, a room that is linked but not in the table.
mkdir "$copy/runtime/attic"
echo '#pragma once' >"$copy/runtime/attic/attic.hpp"
! bash tests/house/directions.sh "$copy" >/dev/null || { echo "not noticed: a source in no room"; exit 1; }
rm -r "$copy/runtime/attic"
sed -i '/^| `runtime\/kit` |/d' "$copy/DEVELOPERS.md"
! bash tests/house/directions.sh "$copy" >/dev/null || { echo "not noticed: a room that left the table"; exit 1; }
echo "every planted include was noticed: $count of $count"
