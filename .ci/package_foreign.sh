# shellcheck shell=bash
# Libraries of another Debian architecture, beside the machine's own packages: nothing is added to its dpkg
# or apt. Sourced by run.
# shellcheck disable=SC2154  # build and logs are set by run

# What the program links, and what it needs to run under qemu.
foreign_libraries='libc6 libgcc-s1 libstdc++6 libsqlite3-0 libqrencode4'
foreign_headers='libsqlite3-dev libqrencode-dev'
foreign_test_libraries='libgtest-dev librapidcheck-dev'
# Headers that are the same for all architectures come from this machine, each by its own name.
shared_headers='boost nlohmann CLI lemon'
shared_test_headers='eigen3'
shared_cmake_folders='nlohmann_json CLI11'

# Debian's own places among the machine's package sources: "URI RELEASE COMPONENT" lines.
debian_sources() {
  # shellcheck disable=SC2016  # the names are apt's own
  apt-get indextargets --format '$(ORIGIN) $(REPO_URI) $(RELEASE) $(COMPONENT)' 'Created-By: Packages' |
    sed -nE 's/^Debian (.*)$/\1/p' | sort -u
}

# own_sources FOLDER ARCH: apt's sources.list there, for packages of ARCH and for sources.
own_sources() {
  local keys=/usr/share/keyrings/debian-archive-keyring.gpg signed='' uri release component
  if [ -f "$keys" ]; then signed=" signed-by=$keys"; fi
  mkdir -p "$1/state/lists/partial" "$1/cache/archives/partial"
  : >"$1/status"
  while read -r uri release component; do
    printf 'deb [arch=%s%s] %s %s %s\n' "$2" "$signed" "$uri" "$release" "$component"
    printf 'deb-src [%s] %s %s %s\n' "${signed# }" "$uri" "$release" "$component"
  done < <(debian_sources) | sed 's/ \[\]//' >"$1/sources.list"
  if [ ! -s "$1/sources.list" ]; then
    say "run: apt knows no source of Debian packages; is this Debian 12?" >&2
    return 1
  fi
}

# own_apt FOLDER ARCH apt-get-arguments…: apt-get with its state in FOLDER.
own_apt() {
  local folder arch=$2
  folder=$(readlink -f "$1")
  shift 2
  LC_ALL=C apt-get -q -o Dir::State="$folder/state" -o Dir::State::status="$folder/status" \
    -o Dir::Cache="$folder/cache" -o Dir::Etc::SourceList="$folder/sources.list" \
    -o Dir::Etc::SourceParts=/dev/null -o APT::Architecture="$arch" -o APT::Architectures="$arch" \
    -o APT::Sandbox::User=root -o Debug::NoLocking=1 "$@"
}

# fetch FOLDER ARCH PACKAGE…: FOLDER/debs/PACKAGE_*.deb, those that are not there yet.
fetch() {
  local folder arch=$2 package wanted=()
  mkdir -p "$1/debs"
  folder=$(readlink -f "$1")
  local apt=$folder/apt debs=$folder/debs
  shift 2

  for package in "$@"; do
    if ! compgen -G "$debs/${package}_*.deb" >/dev/null; then wanted+=("$package"); fi
  done
  [ "${#wanted[@]}" -gt 0 ] || return 0
  if [ ! -s "$apt/sources.list" ]; then own_sources "$apt" "$arch"; fi
  # A list that a mirror can't give at the moment is no reason to stop: the packages may be in the others.
  own_apt "$apt" "$arch" update ||
    say "Not all of Debian's package lists for $arch could be had (above); going on with the others."
  (cd "$debs" && own_apt "$apt" "$arch" download "${wanted[@]}")
}

# make_sysroot FOLDER ARCH [test]: FOLDER/sysroot to link with and to run in, and FOLDER/libraries/PACKAGE
# with what dpkg-shlibdeps asks of each package.
make_sysroot() {
  local folder=$1 arch=$2 root=$1/sysroot packages name
  packages="$foreign_libraries $foreign_headers"
  local headers=$shared_headers
  if [ "${3:-}" = test ]; then
    packages+=" $foreign_test_libraries"
    headers+=" $shared_test_headers"
  fi
  # shellcheck disable=SC2086  # the names are words
  fetch "$folder" "$arch" $packages
  mkdir -p "$root/usr/include" "$root/usr/share/cmake" "$folder/libraries"
  for name in $packages; do
    if [ -e "$folder/debs/$name.unpacked" ]; then continue; fi
    dpkg-deb -x "$folder/debs/${name}_"*.deb "$root"
    case " $foreign_libraries " in
      *" $name "*)
        rm -rf "$folder/libraries/$name"
        dpkg-deb -R "$folder/debs/${name}_"*.deb "$folder/libraries/$name"
        ;;
    esac
    : >"$folder/debs/$name.unpacked"
  done
  for name in $headers; do ln -sfn "/usr/include/$name" "$root/usr/include/$name"; done
  for name in $shared_cmake_folders; do
    rm -rf "$root/usr/share/cmake/$name"
    cp -r "/usr/share/cmake/$name" "$root/usr/share/cmake/$name"
  done
  if [ "${3:-}" = test ]; then
    mkdir -p "$root/usr/share/eigen3"
    rm -rf "$root/usr/share/eigen3/cmake"
    cp -r /usr/share/eigen3/cmake "$root/usr/share/eigen3/cmake"
  fi
}
