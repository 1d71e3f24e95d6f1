# shellcheck shell=bash
# `./run package test`: the packages as somebody installs them, and the tests on other processors. Sourced
# by run.
# shellcheck disable=SC2154  # build, logs and jobs are set by run

# What is pure, and SQLite: the rest needs sockets and clocks that qemu shows only in part.
foreign_tests='base prop wiring light packet patch power pattern engine config site find check sheet logbook'

# tests_on ARCH: the unit and property tests and the fuzzers' seeds, built for ARCH and run by qemu.
tests_on() {
  local arch=$1 tree=$build/package-$1/tests args=() targets=() name folders
  mapfile -t args < <(compiled_for "$arch")
  mkdir -p "$build/package-$arch"
  logged "$logs/package-$arch-test-libraries.log" make_sysroot "$build/package-$arch" "$arch" test
  logged "$logs/package-$arch-test-configure.log" cmake -S . -B "$tree" -G Ninja "${args[@]}" \
    -D CMAKE_BUILD_TYPE=Debug -D CMAKE_CXX_FLAGS_DEBUG="-O1 -g0" -D PANEWALK_TESTS=ON
  for name in $foreign_tests; do
    if [ -d "tests/unit/$name" ]; then targets+=("unit_$name"); fi
    if [ -f "tests/property/${name}_property_test.cpp" ]; then targets+=("property_$name"); fi
  done
  targets+=(replay_e131 replay_artnet)
  logged "$logs/package-$arch-test-build.log" cmake --build "$tree" --parallel "$jobs" --target "${targets[@]}"
  folders=${foreign_tests// /|}
  # Programs that were not built are named NOT_BUILT there.
  logged "$logs/package-$arch-tests.log" ctest --test-dir "$tree" --parallel "$jobs" --no-tests=error \
    --output-on-failure --timeout 1200 \
    --tests-regex "^((unit|property)\\.($folders)\\.|fuzz\\.replay_(e131|artnet)\$)" \
    --exclude-regex 'NOT_BUILT'
  say "  $arch: $(sed -nE 's/^(.*tests passed.*)$/\1/p' "$logs/package-$arch-tests.log")"
}

# bare_root ARCH: build/package-ARCH/bare, a Debian with nothing more than apt. Made once.
bare_root() {
  local arch=$1 root=$build/package-$1/bare uri release component
  if [ -f "$root.made" ]; then return 0; fi
  rm -rf --one-file-system "$root"
  read -r uri release component < <(debian_sources | grep -vE 'security|updates')
  # In mounts of its own: none of the /proc that it mounts is left behind.
  if is_native "$arch"; then
    tests/package/namespace.sh "$(processor_of "$arch")" \
      debootstrap --variant=minbase "$release" "$root" "$uri"
  else
    tests/package/namespace.sh "$(uname -m)" \
      debootstrap --foreign --arch="$arch" --variant=minbase "$release" "$root" "$uri"
    # Its devices are made; what it is told of a container keeps it from trying that it may make more.
    tests/package/namespace.sh "$(processor_of "$arch")" chroot "$root" env container=lxc \
      /debootstrap/debootstrap --second-stage
  fi
  printf 'deb %s %s %s\n' "$uri" "$release" "$component" >"$root/etc/apt/sources.list"
  : >"$root.made"
}

# older_package ARCH VERSION FILE: today's package as if it were an older one.
older_package() {
  local folder=$build/package-$1/older
  rm -rf "$folder"
  dpkg-deb -R "$packages/panewalk_$2_$1.deb" "$folder"
  sed -i 's/^Version: .*/Version: 0.0.9/' "$folder/DEBIAN/control"
  dpkg-deb --root-owner-group -b "$folder" "$3" >/dev/null
}

# installed_on ARCH VERSION
installed_on() {
  local arch=$1 root=$build/package-$1/root
  logged "$logs/package-$arch-bare.log" bare_root "$arch"
  rm -rf --one-file-system "$root"
  cp -a "$build/package-$arch/bare" "$root"
  mkdir -p "$root/packages"
  cp "$packages/panewalk_$2_$arch.deb" "$root/packages/new.deb"
  older_package "$arch" "$2" "$root/packages/older.deb"
  cp -r tests/package "$root/packages/tests"
  cp /etc/resolv.conf "$root/etc/resolv.conf"
  tests/package/namespace.sh "$(processor_of "$arch")" tests/package/in_root.sh "$root" "$2" \
    >"$logs/package-$arch-install.log" 2>&1 </dev/null || show_end "$logs/package-$arch-install.log"
  sed -n 's/^said: /  /p' "$logs/package-$arch-install.log"
  rm -rf --one-file-system "$root"
}

# service_on ARCH VERSION: the unit under a systemd of its own, without qemu.
service_on() {
  local arch=$1 root=$build/package-$1/root
  rm -rf --one-file-system "$root"
  cp -a "$build/package-$arch/bare" "$root"
  cp /etc/resolv.conf "$root/etc/resolv.conf"
  tests/package/service.sh "$root" "$packages/panewalk_$2_$arch.deb" >"$logs/package-$arch-service.log" 2>&1 ||
    show_end "$logs/package-$arch-service.log"
  sed -n 's/^said: /  /p' "$logs/package-$arch-service.log"
  rm -rf --one-file-system "$root"
}

# package_test [ARCH…]
package_test() {
  local arch version asked=("$@")
  if [ $# -eq 0 ]; then read -r -a asked <<<"$architectures"; fi
  known_architectures "${asked[@]}"
  if [ "$(id -u)" -ne 0 ]; then
    say "run: package test installs in a bare Debian of its own, which only root can make" >&2
    return 1
  fi
  package_all "${asked[@]}"
  version=$(package_version)
  packages_for_package_test
  for arch in "${asked[@]}"; do
    say "$arch: lintian, the tarball"
    tests/package/lint.sh "$packages/panewalk_${version}_$arch.deb"
    tests/package/tarball.sh "$packages/panewalk-$version-$arch.tar.xz" "$(processor_of "$arch")"
    say "$arch: installed, upgraded and removed in a bare Debian"
    installed_on "$arch" "$version"
    if is_native "$arch"; then service_on "$arch" "$version"; fi
  done
  for arch in "${asked[@]}"; do
    if is_native "$arch"; then continue; fi
    say "$arch: tests under qemu"
    tests_on "$arch"
  done
}
