#!/usr/bin/env bash
# Each header compiles alone: it includes what it needs.
set -euo pipefail
cd "$(dirname "$0")/../.."
alone() {
  said=$("${CXX:-c++}" -std=c++20 -fsyntax-only -I. -x c++ -include "$1" /dev/null 2>&1) ||
    { printf '%s does not compile alone:\n%s\n' "$1" "$(head -n 5 <<<"$said")"; return 1; }
}
export -f alone
headers=$(find grammar compiler runtime tests -name '*.hpp' | sort)
xargs -P "$(nproc)" -I{} bash -c 'alone {}' <<<"$headers"
echo "each of $(wc -l <<<"$headers") headers compiles alone"
