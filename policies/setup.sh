# shellcheck shell=bash
# Shared set-up for policies/try.sh, tests/run.sh and tests/oracles/fetch.sh.
# Source it; it defines functions and does nothing by itself.
#
#   install_missing PKG...   installs the Debian packages that are not there yet
#   build [--target NAME] [cmake arguments]
#                            configures and builds into .build/ (run it from the root of the checkout)
#
# It was written for Debian 12. It installs only the packages it is asked for,
# and only with Debian's own apt. It is safe to run again: what is installed
# stays as it is, and the build does only what has changed.

# What it takes to build Lacestay.
# shellcheck disable=SC2034
build_packages=(g++ cmake ninja-build tao-pegtl-dev libfmt-dev nlohmann-json3-dev libsqlite3-dev nettle-dev
                libcli11-dev)

# can_be_root: true if as_root can work here.
can_be_root() {
  [ "$(id -u)" -eq 0 ] || command -v sudo >/dev/null 2>&1
}

# as_root COMMAND...: runs it as root, through sudo if need be.
as_root() {
  if [ "$(id -u)" -eq 0 ]; then "$@"; else sudo "$@"; fi
}

# refresh_package_lists: apt-get update, once for a script and those it starts.
# Says so and goes on if it fails: the lists that are there may be good enough.
refresh_package_lists() {
  [ -z "${LACESTAY_LISTS_FRESH:-}" ] || return 0
  can_be_root || return 0
  local log
  log=$(mktemp)
  if as_root apt-get update -qq </dev/null >"$log" 2>&1; then
    export LACESTAY_LISTS_FRESH=1
  else
    echo "setup: apt-get update failed, going on with the package lists there are:" >&2
    tail -n 5 "$log" >&2
  fi
  rm -f "$log"
}

# install_missing PKG...: the reason it gives is $install_reason.
install_missing() {
  local package missing=() log
  if ! command -v dpkg-query >/dev/null 2>&1; then
    echo "setup: this is not a Debian system (no dpkg-query). It needs what these Debian packages hold: $*" >&2
    exit 1
  fi
  for package in "$@"; do
    # A name may be there for two architectures, so look at each line.
    if ! dpkg-query -W -f='${db:Status-Status}\n' "$package" 2>/dev/null | grep -qx installed; then
      missing+=("$package")
    fi
  done
  if [ ${#missing[@]} -eq 0 ]; then
    echo "setup: all $# packages needed ${install_reason:-to build Lacestay} are installed"
    return 0
  fi
  if ! can_be_root; then
    echo "setup: needed ${install_reason:-to build Lacestay} and not installed: ${missing[*]}" >&2
    echo "setup: you are not root and there is no sudo; as root, run: apt-get install --no-install-recommends ${missing[*]}" >&2
    exit 1
  fi
  echo "setup: installing ${missing[*]} (needed ${install_reason:-to build Lacestay})"
  refresh_package_lists
  log=$(mktemp)
  if ! as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends \
      -o DPkg::Lock::Timeout=300 "${missing[@]}" </dev/null >"$log" 2>&1; then
    echo "setup: apt-get could not install ${missing[*]}; its last lines:" >&2
    tail -n 20 "$log" >&2
    rm -f "$log"
    exit 1
  fi
  rm -f "$log"
}

# build [--target NAME] [cmake arguments]: quiet unless it fails. Without
# --target it builds everything; the other arguments go to the configure step.
build() {
  local what=() arguments=() log=.build/build.log started=$SECONDS
  while [ $# -gt 0 ]; do
    case "$1" in
      --target) what=(--target "$2"); shift 2 ;;
      *) arguments+=("$1"); shift ;;
    esac
  done
  if [ ! -f CMakeLists.txt ]; then
    echo "setup: no CMakeLists.txt in $PWD" >&2
    exit 1
  fi
  mkdir -p .build
  # A .build/ that was copied here from another folder cannot be used as it is.
  if [ -f .build/CMakeCache.txt ] && ! grep -qxF "CMAKE_HOME_DIRECTORY:INTERNAL=$(pwd -P)" .build/CMakeCache.txt; then
    arguments=(--fresh "${arguments[@]}")
  fi
  # What is compiled ahead for many files is nothing a compiler cache can keep.
  if command -v ccache >/dev/null 2>&1; then
    arguments+=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache -DCMAKE_DISABLE_PRECOMPILE_HEADERS=ON)
  else
    arguments+=(-DCMAKE_CXX_COMPILER_LAUNCHER= -DCMAKE_DISABLE_PRECOMPILE_HEADERS=OFF)
  fi
  echo "setup: building ${what[1]:-everything} in .build/ (its log: $log)"
  if ! {
    cmake -S . -B .build -G Ninja -DCMAKE_BUILD_TYPE=Release "${arguments[@]}" &&
      cmake --build .build --parallel "$(nproc)" "${what[@]}"
  } </dev/null >"$log" 2>&1; then
    echo "setup: the build failed; the end of $log:" >&2
    tail -n 80 "$log" >&2
    exit 1
  fi
  echo "setup: built in $((SECONDS - started)) s"
}
