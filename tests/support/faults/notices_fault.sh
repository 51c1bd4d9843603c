#!/usr/bin/env bash
# notices_fault.sh PROGRAM [TESTS]: a test program that is linked with a planted fault. Passes where one of its checks fails;
# not where it passes, nor where it ends otherwise. The usual sample has to do: a fault that takes the whole sets is too
# small.
set -uo pipefail
if said=$(env -u LACESTAY_WHOLE "$1" --abort "${@:2}" 2>&1); then
  echo "the planted fault was not noticed"
  exit 1
fi
if ! grep -q 'FAILED:' <<<"$said" || grep -q 'fatal error condition' <<<"$said"; then
  printf 'it ended, but by no check:\n%s\n' "$(tail -n 20 <<<"$said")"
  exit 1
fi
echo "noticed: $(grep -A1 'FAILED:' <<<"$said" | sed -n 2p)"
