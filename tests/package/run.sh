#!/usr/bin/env bash
# Installs what was built into an empty folder, builds a small program against it in another, and runs it.
#
#   run.sh BUILD      the folder lacestay was built in
set -euo pipefail
build=$(cd "$1" && pwd)
here=$(cd "$(dirname "$0")" && pwd)
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cmake --install "$build" --prefix "$folder/installed" >"$folder/log" 2>&1 || { cat "$folder/log"; exit 1; }
mkdir "$folder/program"
cp "$here/CMakeLists.txt" "$here/embedding.cc" "$folder/program/"
cd "$folder/program"
{
  cmake -S . -B built -G Ninja -DCMAKE_PREFIX_PATH="$folder/installed" -DCMAKE_BUILD_TYPE=Release &&
    cmake --build built
} >"$folder/log" 2>&1 || { cat "$folder/log"; exit 1; }
[ "$(ls "$folder/installed/include")" = lacestay.hpp ] || { echo "more than one header is installed"; exit 1; }
# The installed policies, from the installed program too.
"$folder/installed/bin/lacestay" inspect "$folder/installed/share/lacestay/policies/northgate.fitting" >/dev/null
./built/embedding "$folder/installed/share/lacestay/policies"
