#!/usr/bin/env bash
# Builds Lacestay and runs two advices, showing each command line.
#
#   bash policies/try.sh      from any folder
#
# Starts from a bare Debian 12 with git and this checkout. It installs, with
# apt, only what is missing of: g++, cmake, ninja-build, tao-pegtl-dev,
# libfmt-dev, nlohmann-json3-dev, libsqlite3-dev, nettle-dev, libcli11-dev. It
# writes only in .build/. Safe to run again.
set -euo pipefail
CDPATH='' cd -- "$(dirname -- "${BASH_SOURCE[0]}")/.."
# shellcheck source=policies/setup.sh
source policies/setup.sh

# show COMMAND...: prints the command line, then runs it.
show() {
  printf '\n$ %s\n' "$*"
  "$@"
}

install_missing "${build_packages[@]}"
build --target lacestay -DBUILD_TESTING=OFF

show .build/lacestay advise policies/northgate.fitting --from policies/saturday.players saturday_beginner
show .build/lacestay advise policies/northgate.fitting --from policies/saturday.players big_newcomer
