#!/usr/bin/env bash
# Builds everything and runs every test. Its exit code is ctest's.
#
#   bash tests/run.sh         from any folder
#
# Starts from a bare Debian 12 with git and this checkout. It installs, with
# apt, only what is missing of: g++, cmake, ninja-build, tao-pegtl-dev,
# libfmt-dev, nlohmann-json3-dev, libsqlite3-dev, nettle-dev, libcli11-dev (to
# build), catch2, units, clang-format-14, libz3-dev, glpk-utils, coinor-cbc,
# sqlite3, jq, iso-codes, libicu-dev (to test), and r-base-core (to read open
# data sets, see tests/oracles/fetch.sh). The data go to .build/oracles; where a
# set cannot be had, the tests that need it are skipped and say why. Safe to run
# again. It writes only in .build/, but for the solvers' models, in a folder for
# temporary files.
set -euo pipefail
CDPATH='' cd -- "$(dirname -- "${BASH_SOURCE[0]}")/.."
# shellcheck source=policies/setup.sh
source policies/setup.sh

install_reason="to build and test Lacestay"
install_missing "${build_packages[@]}" catch2 units clang-format-14 libz3-dev glpk-utils coinor-cbc sqlite3 jq \
  iso-codes libicu-dev
bash tests/oracles/fetch.sh .build/oracles ||
  echo "run: not every data set could be had (see above); the tests that need it say so"
build -DBUILD_TESTING=ON

# Whole sets take minutes a test on a busy machine.
exec ctest --test-dir .build --output-on-failure -j 2 --timeout 2400
