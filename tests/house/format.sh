#!/usr/bin/env bash
# Every source is laid out as .clang-format says, by the version Debian 12 ships.
set -euo pipefail
cd "$(dirname "$0")/../.."
formatter=$(command -v clang-format-14 || command -v clang-format || true)
if [ -z "$formatter" ]; then
  echo "skipped: clang-format is not installed"
  [ -z "${LACESTAY_SKIP_IS_FAILURE:-}" ]
  exit $?
fi
git ls-files '*.cc' '*.hpp' | xargs "$formatter" --style=file --dry-run -Werror
echo "every source is laid out as .clang-format says"
