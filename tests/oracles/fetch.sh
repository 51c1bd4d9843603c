#!/usr/bin/env bash
# Gets open data sets of body measures into DIR as CSV, for the tests.
#
#   bash tests/oracles/fetch.sh DIR
#
# Each set is inside a Debian package: the package is downloaded and unpacked
# in a temporary folder, not installed. One package is installed if a set is
# still to be had: r-base-core, whose Rscript reads the sets.
#
# For each set it prints one line with its row count. In the CSV the first line
# names the columns, a missing value is empty, and nothing is quoted.
# DIR/README.txt says where each set is from. If a set cannot be had, the reason
# goes to DIR/NAME.csv.missing, the other sets are still fetched, and the exit
# code is 1. Safe to run again: it skips the sets that are there and complete.
set -euo pipefail
[ $# -eq 1 ] || { echo "usage: bash tests/oracles/fetch.sh DIR" >&2; exit 2; }
mkdir -p "$1"
dir=$(CDPATH='' cd -- "$1" && pwd)
CDPATH='' cd -- "$(dirname -- "${BASH_SOURCE[0]}")/../.."
# shellcheck source=policies/setup.sh
source policies/setup.sh

# One set a line: file, rows, package, file in the package, object ("-": an SPSS file)
sets='
adults_body.csv    507 r-cran-gclus   usr/lib/R/site-library/gclus/data/body.RData body
children_fdgs.csv 10030 r-cran-mice   usr/lib/R/site-library/mice/data/Rdata       fdgs
children_boys.csv  748 r-cran-mice    usr/lib/R/site-library/mice/data/Rdata       boys
selfreport.csv    2060 r-cran-mice    usr/lib/R/site-library/mice/data/Rdata       selfreport
davis.csv          200 r-cran-cardata usr/lib/R/site-library/carData/data/Rdata    Davis
physiology.csv      40 pspp           usr/share/pspp/examples/physiology.sav       -
'

temp=$(mktemp -d)
chmod 1777 "$temp"  # apt downloads as a user of its own, who must be able to write here
trap 'rm -rf "$temp"' EXIT
why=          # the reason of the last failure
r_state=      # '' not tried yet, 'ready', or the reason why Rscript is not to be had

# last_words FILE: the last line that says something, for a reason in one line.
last_words() {
  grep -v '^[[:space:]]*$' "$1" | tail -n 1
}

# complete FILE ROWS: it is there with all its rows, and README.txt tells its source.
complete() {
  [ -f "$dir/$1" ] && [ "$(wc -l <"$dir/$1")" -eq $(($2 + 1)) ] && grep -q "^$1:" "$dir/README.txt" 2>/dev/null
}

# have_r: makes sure that Rscript is there.
have_r() {
  if [ -z "$r_state" ]; then
    if command -v Rscript >/dev/null 2>&1; then
      r_state=ready
    elif (install_reason="to read the tests' data sets" install_missing r-base-core) 2>"$temp/r.log"; then
      r_state=ready
    else
      cat "$temp/r.log" >&2
      r_state="r-base-core is not installed and could not be"
    fi
  fi
  [ "$r_state" = ready ] || { why=$r_state; return 1; }
}

# unpack PKG: downloads it and unpacks it in $temp/PKG, once.
unpack() {
  local package=$1
  [ ! -d "$temp/$package" ] || return 0
  if ! (cd "$temp" && apt-get download -qq "$package") </dev/null >"$temp/log" 2>&1; then
    refresh_package_lists  # there may be no package lists yet, or old ones
    if ! (cd "$temp" && apt-get download -qq "$package") </dev/null >"$temp/log" 2>&1; then
      why="apt-get cannot download $package: $(last_words "$temp/log")"
      return 1
    fi
  fi
  if ! { mkdir "$temp/part" && dpkg -x "$temp/${package}"_*.deb "$temp/part" && mv "$temp/part" "$temp/$package"; } >"$temp/log" 2>&1; then
    rm -rf "$temp/part"
    why="cannot unpack $package: $(last_words "$temp/log")"
    return 1
  fi
}

# fetch FILE ROWS PKG PATH OBJECT
fetch() {
  local name=$1 rows=$2 package=$3 path=$4 object=$5
  have_r || return 1
  unpack "$package" || return 1
  if [ "$object" = - ]; then
    unpack r-cran-foreign || return 1
  fi
  if ! LC_ALL=C Rscript --vanilla "$temp/to_csv.R" "$temp/$package/$path" "$object" "$rows" \
      "$dir/.$name.$$" "$temp/r-cran-foreign/usr/lib/R/library" </dev/null >"$temp/log" 2>&1; then
    rm -f "$dir/.$name.$$"
    why="cannot read $object in $package: $(grep -v '^Execution halted' "$temp/log" | tail -n 2 | tr -s '\n ' '  ')"
    return 1
  fi
  mv "$dir/.$name.$$" "$dir/$name"
}

cat >"$temp/to_csv.R" <<'R'
# Arguments: the file, the object in it, the rows it must have, the CSV to write, the folder of "foreign"
a <- commandArgs(TRUE)
options(warn = 1, scipen = 999)  # no 1e+05 in a CSV
held <- new.env()
if (a[2] == "-") {
  library(foreign, lib.loc = a[5])
  # codes as they are stored, not their labels, and no value turned into a missing one
  set <- read.spss(a[1], use.value.labels = FALSE, use.missings = FALSE, to.data.frame = TRUE)
} else {
  if (grepl("\\.RData$", a[1])) load(a[1], envir = held) else lazyLoad(a[1], envir = held)
  set <- get(a[2], envir = held, inherits = FALSE)
}
if (nrow(set) != as.integer(a[3])) stop("it has ", nrow(set), " rows, not ", a[3])
texts <- c(names(set), unlist(lapply(set, function(column) if (is.numeric(column)) NULL else as.character(column))))
if (any(grepl("[\",\r\n]", texts))) stop("a text in it would need quotes")
write.csv(set, a[4], row.names = FALSE, na = "", quote = FALSE)
R

# note LINE...: writes README.txt anew: the lines of the other sets, and this one.
note() {
  {
    echo "Open data sets of body measures, taken out of Debian packages by"
    echo "tests/oracles/fetch.sh for the tests. Each package's own copyright file holds for its data."
    echo
    { grep '^[a-z_]*\.csv:' "$dir/README.txt" 2>/dev/null | grep -v "^${1%%:*}:" || true; echo "$1"; } | sort
  } >"$dir/.README.$$"
  mv "$dir/.README.$$" "$dir/README.txt"
}

failed=0
while read -r name rows package path object; do
  [ -n "$name" ] || continue
  if complete "$name" "$rows"; then
    echo "oracles: $name: $rows rows, already there"
  elif fetch "$name" "$rows" "$package" "$path" "$object"; then
    if [ "$object" = - ]; then from="file $path"; else from="object $object in $path"; fi
    note "$name: package $package $(dpkg-deb -f "$temp/${package}"_*.deb Version), $from, $rows rows"
    echo "oracles: $name: $rows rows, from $package"
  else
    failed=1
    rm -f "$dir/$name"  # an incomplete one would mislead the tests
    printf '%s\n' "$why" >"$dir/$name.missing"
    echo "oracles: $name: missing: $why" >&2
    continue
  fi
  rm -f "$dir/$name.missing"
done <<<"$sets"
exit "$failed"
