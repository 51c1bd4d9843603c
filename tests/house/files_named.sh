#!/usr/bin/env bash
# Every source and schema that a comment, an include or a page names is there, so that a move takes its mentions along.
set -euo pipefail
cd "$(dirname "$0")/../.."
there=$(git ls-files | sed 's|.*/||' | sort -u)
# Headers of the libraries, and what the build makes.
there+=$'\njson.hpp\ncatch.hpp\nCLI.hpp\npegtl.hpp\nnested_ifs.cc'
missing=$(git ls-files '*.cc' '*.hpp' '*.md' '*CMakeLists.txt' '*.cmake' ':!tests/golden' |
  xargs grep -noE '[A-Za-z_][A-Za-z_0-9/]*\.(cc|hpp|schema\.json)\b' |
  there="$there" awk -F: '
    BEGIN { n = split(ENVIRON["there"], names, "\n"); for (i = 1; i <= n; ++i) known[names[i]] = 1 }
    { name = $3; if (name ~ /^(tao|nlohmann|catch2|fmt|nettle|CLI)\//) next; sub(/.*\//, "", name); if (!(name in known)) print $1 ":" $2 ": names " $3 ", which is not there" }')
[ -z "$missing" ] || { printf '%s\n' "$missing"; exit 1; }
echo "every file that is named is there"
