#!/usr/bin/env bash
# netns.sh COMMAND…: runs the command in a network namespace of its own, where there is nothing but a
# loopback interface. Multicast that names no interface goes to it as well.
#
# Where the system allows no namespaces the exit status is 77 (ctest counts the test as skipped), in
# CI 1: there a test must not go missing.
set -euo pipefail

as=()
if [ "$(id -u)" -ne 0 ]; then
  as=(--map-root-user)
fi
if ! unshare "${as[@]}" --net true 2>/dev/null; then
  echo "netns.sh: this system lets us make no network namespace (unshare ${as[*]} --net)" >&2
  if [ "${CI:-}" = true ]; then exit 1; fi
  exit 77
fi
# shellcheck disable=SC2016  # the inner shell is the one that expands
exec unshare "${as[@]}" --net bash -euc '
  PATH=$PATH:/usr/sbin:/sbin
  ip link set lo up multicast on
  ip route add 224.0.0.0/4 dev lo
  exec "$@"' netns "$@"
