#!/usr/bin/env bash
# golden.sh [CHECKOUT]: every file of tests/golden is read by some test. Either a test names it in quotes by its path from
# tests/golden or from the checkout; or it is a case (NAME.txt) of a folder that a test asks golden_cases for; or its
# folder is one that a test goes through itself ("tests/golden/FOLDER").
set -euo pipefail
cd "${1:-$(dirname "$0")/../..}"
{
  grep -rhoE --include='*.cc' 'golden_cases\("[a-z_]+"\)|"[a-z_0-9/.]+"' tests
  find tests/golden -type f ! -name README.md | sort | sed 's/^/file /'
} | awk '
  $1 != "file" { gsub(/\/?"$/, "\""); said[$0] = 1; next }
  {
    file = name = folder = $2
    sub("^tests/golden/", "", name)
    folder = name; sub("/.*", "", folder)
    read_one = ("\"" name "\"") in said || ("\"" file "\"") in said || ("\"tests/golden/" folder "\"") in said
    one_case = name ~ ("^" folder "/[^/]+[.]txt$") && ("golden_cases(\"" folder "\")") in said
    ++seen
    if (!read_one && !one_case) { print file ": no test reads it"; failed = 1 }
  }
  END {
    if (seen < 100) { print "only " seen " golden files were found"; failed = 1 }
    exit failed
  }'
