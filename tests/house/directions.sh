#!/usr/bin/env bash
# Holds every include to the table of rooms in DEVELOPERS.md, and the table to what CMakeLists.txt links.
#
#   directions.sh [CHECKOUT]      the checkout this file is in, unless another folder is named
#
# A room may include itself, the rooms named beside it, and what those may include. A source that stands in no room, a
# room without sources, and a room that is in one list alone are errors too, so that nothing passes by being overlooked.
# At last: the top level holds what the design card names, and nothing else.
set -euo pipefail
cd "${1:-"$(dirname "$0")/../.."}"

# The table: "room<TAB>room room ..." a line.
rooms=$(awk -F'|' '
  /^\| room \|/ { on = 1; next }
  on && !/^\|/  { exit }
  on && $2 ~ /`/ {
    gsub(/[` ]/, "", $2)
    may = $4; gsub(/[`,–]/, " ", may); gsub(/ +/, " ", may)
    print $2 "\t" may
  }' DEVELOPERS.md)
linked=$(sed -nE 's/^lacestay_room\(([a-z/]+)( LINKS ([a-z/ ]+))?\)$/\1\t\3/p' CMakeLists.txt)
sources=$(find grammar compiler runtime -type f \( -name '*.cc' -o -name '*.hpp' \) | sort)
failed=0
complain() { printf '%s\n' "$1"; failed=1; }
[ -n "$rooms" ] || { echo "DEVELOPERS.md has no table of rooms"; exit 1; }

# The same edges in both lists.
edges() { awk -F'\t' '{ n = split($2, to, " "); print $1; for (i = 1; i <= n; ++i) print $1 " -> " to[i] }' | sort; }
unlike=$(diff <(edges <<<"$rooms") <(edges <<<"$linked") || true)
[ -z "$unlike" ] || complain "DEVELOPERS.md (<) and CMakeLists.txt (>) name other rooms:"$'\n'"$(grep '^[<>]' <<<"$unlike")"

# Every include of every source, against the table and what follows from it. runtime/lacestay.hpp stands above all rooms.
found=$(printf '%s\n' "$sources" | xargs grep -nHoE '^ *# *include *"[^"]+"' /dev/null |
  rooms="$rooms" sources="$sources" awk '
    function dir(path) { sub(/\/[^\/]*$/, "", path); return path }
    function reaches(from, to,   k) {
      if (from == to || (from, to) in may) return 1
      for (k in room) if ((from, k) in may && k != from && reaches(k, to)) return 1
      return 0
    }
    BEGIN {
      n = split(ENVIRON["rooms"], lines, "\n")
      for (i = 1; i <= n; ++i) {
        split(lines[i], part, "\t"); room[part[1]] = 1
        m = split(part[2], others, " ")
        for (k = 1; k <= m; ++k) may[part[1], others[k]] = 1
      }
      for (k in room) for (j in room)
        if (k != j && reaches(k, j) && reaches(j, k)) { print "the rooms " k " and " j " may include each other"; exit }
      n = split(ENVIRON["sources"], all, "\n")
      for (i = 1; i <= n; ++i) {
        held[dir(all[i])] = 1
        if (!(dir(all[i]) in room) && all[i] != "runtime/lacestay.hpp") print all[i] ": stands in no room of the table"
      }
      for (k in room) if (!(k in held)) print k ": a room without sources"
    }
    {
      match($0, /:[0-9]+:/); file = substr($0, 1, RSTART - 1); at = substr($0, 1, RSTART + RLENGTH - 2)
      match($0, /"[^"]+"/); to = substr($0, RSTART + 1, RLENGTH - 2)
      if (to == "runtime/lacestay.hpp" && file != "runtime/lacestay.hpp" && dir(file) == "runtime/embed") next
      if (!(dir(to) in room)) { print at ": includes " to ", which stands in no room"; next }
      if (file == "runtime/lacestay.hpp") { print at ": the public header includes " to; next }
      key = dir(file) " " dir(to)
      if (!(key in known)) known[key] = reaches(dir(file), dir(to))
      if (!known[key]) print at ": " dir(file) " may not include " dir(to)
    }')
[ -z "$found" ] || complain "$found"

if git rev-parse --is-inside-work-tree >/dev/null 2>&1; then top=$(git ls-files); else top=$(ls); fi
for name in $(grep -v '^\.' <<<"$top" | cut -d/ -f1 | sort -u); do
  case "$name" in
    CMakeLists.txt|DEVELOPERS.md|LICENSE|README.md|compiler|grammar|policies|runtime|tests) ;;
    *) complain "the top level holds $name, which is not on the design card" ;;
  esac
done
[ "$failed" = 0 ] && echo "every include goes the way text flows: $(wc -l <<<"$rooms") rooms, $(wc -l <<<"$sources") sources"
exit "$failed"
