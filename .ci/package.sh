# shellcheck shell=bash
# `./run package`: a .deb and a tarball for each architecture. Sourced by run.
# shellcheck disable=SC2154  # build, logs and jobs are set by run

architectures='amd64 arm64 armhf'

# KiB at most: the program, the program of the tarball, the .deb, the tarball.
budget_of() {
  case $1 in
    amd64) echo '5632 9216 1920 3328' ;;
    arm64) echo '5120 8192 1792 2944' ;;
    armhf) echo '3584 5632 1792 2816' ;;
  esac
}

triplet_of() {
  case $1 in
    amd64) echo x86_64-linux-gnu ;;
    arm64) echo aarch64-linux-gnu ;;
    armhf) echo arm-linux-gnueabihf ;;
  esac
}

# As qemu calls its processor.
processor_of() {
  case $1 in
    amd64) echo x86_64 ;;
    arm64) echo aarch64 ;;
    armhf) echo arm ;;
  esac
}

is_native() { [ "$1" = "$(dpkg --print-architecture)" ]; }

# The version, which the newest entry of Debian's changelog must name too.
package_version() {
  local version
  version=$(sed -nE 's/^project\(panewalk VERSION ([0-9.]+).*/\1/p' CMakeLists.txt)
  if ! head -n 1 config/package/changelog | grep -qF "panewalk ($version) "; then
    say "config/package/changelog: its first line does not name version $version, as CMakeLists.txt does" >&2
    return 1
  fi
  echo "$version"
}

# compilers_for ARCH…: the lines of a package list.
compilers_for() {
  local arch
  for arch in "$@"; do
    if is_native "$arch"; then continue; fi
    printf 'g++-%s  compiles the program for %s\n' "$(triplet_of "$arch" | tr _ -)" "$arch"
  done
}

# compiled_for ARCH: the arguments that tell cmake.
compiled_for() {
  if is_native "$1"; then return 0; fi
  printf '%s\n' --toolchain "$PWD/.cmake/cross-$1.cmake" -D "PANEWALK_SYSROOT=$(readlink -f "$build")/package-$1/sysroot"
}

# logged LOG COMMAND…: shows the end of the log where it fails.
logged() {
  local log=$1
  shift
  "$@" >"$log" 2>&1 </dev/null || show_end "$log"
}

# qrencode_source FOLDER: Debian has no static library of it, so the tarball's is made from Debian's source.
qrencode_source() {
  local folder=$1 native
  native=$(dpkg --print-architecture)
  if compgen -G "$folder/qrencode-*/" >/dev/null; then return 0; fi
  mkdir -p "$folder"
  own_sources "$folder/apt" "$native"
  own_apt "$folder/apt" "$native" update || true
  # apt holds what it loads to the signed lists.
  (cd "$folder" && own_apt "$folder/apt" "$native" source --tar-only qrencode && tar -xf qrencode_*.orig.tar.*)
}

# static_libraries ARCH: leaves libqrencode.a in build/package-ARCH/qrencode.
static_libraries() {
  local arch=$1 source=$build/package-source args=()
  local out=$build/package-$arch/qrencode
  if [ -f "$out/libqrencode.a" ]; then return 0; fi
  logged "$logs/package-source.log" qrencode_source "$(mkdir -p "$source" && readlink -f "$source")"
  mapfile -t args < <(compiled_for "$arch")
  logged "$logs/package-$arch-qrencode.log" cmake -S "$(echo "$source"/qrencode-*/)" -B "$out" -G Ninja \
    "${args[@]}" -D CMAKE_BUILD_TYPE=Release -D WITH_TOOLS=NO -D BUILD_SHARED_LIBS=OFF -D WITHOUT_PNG=ON \
    -D CMAKE_POSITION_INDEPENDENT_CODE=ON -D CMAKE_PREFIX_PATH= -Wno-dev
  logged "$logs/package-$arch-qrencode.log" cmake --build "$out" --target qrencode
}

sqlite_archive() {
  local at
  at=/usr/lib/$(triplet_of "$1")/libsqlite3.a
  if is_native "$1"; then echo "$at"; else echo "$(readlink -f "$build")/package-$1/sysroot$at"; fi
}

# build_package ARCH: build/package-ARCH/release with both programs, the manual page and the completions.
build_package() {
  local arch=$1 tree=$build/package-$1/release args=()
  mapfile -t args < <(compiled_for "$arch")
  logged "$logs/package-$arch-configure.log" cmake -S . -B "$tree" -G Ninja -C .cmake/package-build.cmake \
    "${args[@]}" \
    -D "PANEWALK_STATIC_LIBRARIES=$(sqlite_archive "$arch");$(readlink -f "$build/package-$arch/qrencode")/libqrencode.a"
  logged "$logs/package-$arch-build.log" cmake --build "$tree" --parallel "$jobs"
}

# depends_of ARCH PROGRAM: the packages with versions, as dpkg-shlibdeps finds them.
depends_of() {
  local arch=$1 program folder=$build/package-$1 searched=() library found
  program=$(readlink -f "$2")
  mkdir -p "$folder/shlibdeps/debian"
  printf 'Source: panewalk\n\nPackage: panewalk\nArchitecture: any\n' >"$folder/shlibdeps/debian/control"
  if ! is_native "$arch"; then
    for library in "$(readlink -f "$folder")"/libraries/*/; do searched+=("-S${library%/}"); done
  fi
  found=$(cd "$folder/shlibdeps" &&
    DEB_HOST_ARCH=$arch dpkg-shlibdeps -O "${searched[@]}" -e "$program" 2>"$logs_here/package-$arch-depends.log")
  # Whoever makes the user.
  echo "${found#shlibs:Depends=}, systemd | systemd-standalone-sysusers | systemd-sysusers"
}

# strip_of ARCH: the strip of that architecture.
strip_of() {
  if is_native "$1"; then echo strip; else echo "$(triplet_of "$1")-strip"; fi
}

pack_deb() {
  local arch=$1 version=$2 tree=$build/package-$1/release
  rm -rf "$tree/packages" "$tree/_CPack_Packages"
  (umask 022 && cd "$tree" && cpack -G DEB -D CPACK_DEBIAN_PACKAGE_ARCHITECTURE="$arch" \
    -D CPACK_DEBIAN_PACKAGE_DEPENDS="$3") >"$logs/package-$arch-deb.log" 2>&1 ||
    show_end "$logs/package-$arch-deb.log"
  mv "$tree/packages/panewalk_${version}_$arch.deb" "$packages/"
}

# notices_for ARCH FOLDER: what the licences of the libraries in the tarball's program ask for.
notices_for() {
  local root='' name
  if ! is_native "$1"; then root=$build/package-$1/sysroot; fi
  mkdir -p "$2"
  for name in libsqlite3-0 libqrencode4 libc6; do
    cp -L "$root/usr/share/doc/$name/copyright" "$2/$name"
  done
  # Those of the C++ library, the same for all architectures.
  cp -L /usr/share/doc/gcc-12-base/copyright "$2/libstdc++6"
  cp /usr/share/common-licenses/LGPL-2.1 /usr/share/common-licenses/GPL-3 "$2/"
}

pack_tarball() {
  local arch=$1 name=panewalk-$2-$1 tree=$build/package-$1/release
  local stage=$build/package-$1/tarball
  rm -rf "$stage"
  mkdir -p "$stage"
  (umask 022 && logged "$logs/package-$arch-tarball.log" cmake --install "$tree" --component tarball \
    --prefix "$(readlink -f "$stage")/$name")
  "$(strip_of "$arch")" "$stage/$name/bin/panewalk"
  (umask 022 && notices_for "$arch" "$stage/$name/licences")
  tar -C "$stage" --sort=name --owner=0 --group=0 --numeric-owner --mtime="@$SOURCE_DATE_EPOCH" \
    -cf - "$name" | xz -9e -T1 >"$packages/$name.tar.xz"
}

# row ARCH WHAT FILE BUDGET: a line of the table; fails over the budget.
row() {
  local size
  size=$((($(stat -c %s "$3") + 1023) / 1024))
  printf '  %-6s %-34s %8d KiB   at most %5d KiB' "$1" "$2" "$size" "$4"
  if [ "$size" -gt "$4" ]; then
    printf '   TOO LARGE\n'
    return 1
  fi
  printf '\n'
}

# sizes_of ARCH VERSION
sizes_of() {
  local arch=$1 name=panewalk-$2-$1 bad=0 program=$build/package-$1/panewalk-stripped budget=()
  read -r -a budget < <(budget_of "$arch")
  "$(strip_of "$arch")" -o "$program" "$build/package-$arch/release/panewalk"
  row "$arch" "panewalk" "$program" "${budget[0]}" || bad=1
  row "$arch" "panewalk, static" "$build/package-$arch/tarball/$name/bin/panewalk" "${budget[1]}" || bad=1
  row "$arch" "panewalk_$2_$arch.deb" "$packages/panewalk_$2_$arch.deb" "${budget[2]}" || bad=1
  row "$arch" "$name.tar.xz" "$packages/$name.tar.xz" "${budget[3]}" || bad=1
  return "$bad"
}

# known_architectures ARCH…
known_architectures() {
  local arch
  for arch in "$@"; do
    case " $architectures " in
      *" $arch "*) ;;
      *) say "run: package takes ${architectures// /, } or test, not \"$arch\"" >&2; return 2 ;;
    esac
  done
}

# package_all [ARCH…]
package_all() {
  local arch version bad=0 asked=("$@")
  if [ $# -eq 0 ]; then read -r -a asked <<<"$architectures"; fi
  known_architectures "${asked[@]}"
  version=$(package_version)
  packages_for_package "$(compilers_for "${asked[@]}")"
  packages=$build/packages
  mkdir -p "$logs" "$packages"
  logs_here=$(readlink -f "$logs")
  SOURCE_DATE_EPOCH=$(git log -1 --format=%ct 2>/dev/null || stat -c %Y config/package/changelog)
  export SOURCE_DATE_EPOCH
  for arch in "${asked[@]}"; do
    say "$arch: libraries"
    mkdir -p "$build/package-$arch"
    is_native "$arch" || logged "$logs/package-$arch-libraries.log" make_sysroot "$build/package-$arch" "$arch"
    static_libraries "$arch"
    say "$arch: the program"
    build_package "$arch"
    pack_deb "$arch" "$version" "$(depends_of "$arch" "$build/package-$arch/release/panewalk")"
    pack_tarball "$arch" "$version"
  done
  say "In $packages:"
  for arch in "${asked[@]}"; do sizes_of "$arch" "$version" || bad=1; done
  return "$bad"
}
