#!/usr/bin/env bash
# Text flows one way: grammar/ includes nothing of the other rooms, compiler/ only grammar/ and itself, runtime/ never
# the checker; and the top level holds what the design card names, and nothing else.
set -euo pipefail
cd "$(dirname "$0")/../.."
failed=0

# forbid FOLDER PATTERN WHY: no include in FOLDER may match PATTERN.
forbid() {
  local hits
  hits=$(grep -nE "^#include \"($2)" "$1"/*.cc "$1"/*.hpp || true)
  if [ -n "$hits" ]; then
    printf '%s: %s\n%s\n' "$1" "$3" "$hits"
    failed=1
  fi
}
forbid grammar '(compiler|runtime|tests)/' 'the grammar includes nothing of the other rooms'
forbid compiler '(runtime|tests)/' 'the compiler includes the grammar and itself'
forbid runtime 'tests/' 'nothing of the tests'
forbid runtime 'compiler/(checker|check_|lower|files)' 'the runtime knows the tables, not the checker'
forbid runtime 'grammar/(build|nodes|rules|messages)' 'the runtime knows the tree, not how it is read'

for name in $(git ls-files | grep -v '^\.' | cut -d/ -f1 | sort -u); do
  case "$name" in
    CMakeLists.txt|DEVELOPERS.md|LICENSE|README.md|compiler|grammar|policies|runtime|tests) ;;
    *) printf 'the top level holds %s, which is not on the design card\n' "$name"; failed=1 ;;
  esac
done
[ "$failed" = 0 ] && echo "every include goes the way text flows"
exit "$failed"
