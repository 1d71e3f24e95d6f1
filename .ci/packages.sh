# shellcheck shell=bash
# The Debian packages and npm packages that are needed, and how they get here. Sourced by run.

# package[=command]  why. A package whose command is already there counts as installed.
build_packages='
g++                  compiles the program
cmake                describes the build
ninja-build          carries it out
libboost-dev         Asio and Beast: timers, HTTP, WebSocket
nlohmann-json3-dev   reads and writes JSON
libcli11-dev         the command line
libqrencode-dev      the join code for the camera of a phone
libsqlite3-dev       the logbook
liblemon-dev         matchings: the bound of the fewest splices
'
test_packages='
libgtest-dev         unit tests
libgmock-dev         unit tests
librapidcheck-dev    laws over random cases
libbenchmark-dev     benchmarks
libeigen3-dev        a dense solve to hold the power of chains against
clang                the second compiler, and the fuzzers
libclang-rt-14-dev   the fuzzers and sanitizers of clang
clang-format         checks the format
clang-tidy           static analysis
cppcheck             static analysis by other means
shellcheck           checks the scripts
codespell            checks the spelling
zbar-tools           reads the QR code that we print with somebody else'"'"'s decoder
tshark               reads what we send with somebody else'"'"'s dissector
python3=python3      system tests
python3-networkx     matchings and paths by other hands than ours
nodejs=node          system tests: other senders and receivers
npm=npm              brings these
ca-certificates      lets npm trust where it loads from
iproute2             network namespaces for the system tests
systemd=systemd-analyze  reads the service unit
util-linux           network namespaces for the system tests
chromium=chromium    browser tests: runs the page
fonts-dejavu-core    browser tests: letters for it
poppler-utils=pdftotext  reads what a sheet prints
mandoc               finds fault with the man page
groff-base=groff     the same by other hands
zsh                  system tests: completes a typed command
fish                 the same
git=git              lists the files to check
'

package_packages='
dpkg-dev             finds which libraries a package depends on
file                 packing tells kinds of files by it
xz-utils=xz          packs the tarball
git=git              the time of the last commit, for the same package twice
lintian=lintian      holds the packages to the policy of Debian
qemu-user-static     runs what is built for other processors
'
package_test_packages='
debootstrap=debootstrap  a bare Debian to install in
libeigen3-dev        a dense solve to hold the power of chains against
python3=python3      reads the logbook with somebody else'"'"'s hands
mandoc=mandoc        a second reader of the manual page
util-linux           namespaces for the bare Debian
iproute2             a network of its own for it
'
fuzz_coverage_packages='
llvm-14=llvm-cov-14  reads what the fuzzers reached
'
screens_packages='
pngquant             makes the screenshots small
'

say() { printf '%s\n' "$*"; }

# Prints the lines of a list whose package is missing.
missing_of() {
  local installed line package command
  installed=$(dpkg-query -W -f='${db:Status-Status} ${Package}\n' 2>/dev/null |
    sed -n 's/^installed //p')
  while read -r line; do
    [ -n "$line" ] || continue
    package=${line%% *}
    command=
    if [[ $package == *=* ]]; then
      command=${package#*=}
      package=${package%%=*}
    fi
    if [ -n "$command" ] && command -v "$command" >/dev/null; then continue; fi
    if grep -qxF -- "$package" <<<"$installed"; then continue; fi
    printf '%-20s %s\n' "$package" "$(sed -E 's/^[^ ]+ +//' <<<"$line")"
  done <<<"$1"
}

# One line that counts, on a terminal; a line every tenth part elsewhere.
apt_progress() {
  local tty=0
  if [ -t 1 ]; then tty=1; fi
  awk -v tty="$tty" '
    / newly installed/ { for (i = 1; i <= NF; i++) if ($i == "newly") { split($0, n, /, /) }
      total = 0; for (i in n) if (n[i] ~ /newly/) { split(n[i], w, " "); total = w[1] } }
    /^Get:/ { got++; show("fetched", got) }
    /^Unpacking / { unpacked++; show("unpacked", unpacked) }
    /^Setting up / { done++; show("installed", done) }
    function show(word, count, tenth) {
      if (total < 1) return
      if (tty) { printf "\r  %s %d of %d   ", word, count, total; fflush(); return }
      tenth = int(10 * count / total)
      if (tenth != last[word]) { last[word] = tenth; printf "  %s %d of %d\n", word, count, total
        fflush() }
    }
    END { if (tty && total) print "" }'
}

# need WHAT LIST: installs what is missing of the list; says nothing if nothing is.
need() {
  local what=$1 missing names as_root=() log
  if ! command -v dpkg-query >/dev/null || ! command -v apt-get >/dev/null; then
    say "run: made for Debian 12; here is no apt-get. $what needs what these packages hold:" >&2
    say "$2" >&2
    say "Going on; what is missing will say so." >&2
    return 0
  fi
  missing=$(missing_of "$2")
  [ -n "$missing" ] || return 0
  names=$(sed -E 's/ .*//' <<<"$missing" | tr '\n' ' ')
  names=${names% }
  say "$what needs Debian packages that are not installed:"
  say "  ${missing//$'\n'/$'\n'  }"
  if [ "$(id -u)" -ne 0 ]; then
    if [ -t 0 ] && command -v sudo >/dev/null; then
      as_root=(sudo)
    elif command -v sudo >/dev/null && sudo -n true 2>/dev/null; then
      as_root=(sudo -n)
    else
      as_root=(none)
    fi
  fi
  if [ -n "${PANEWALK_NO_INSTALL:-}" ] || [ "${as_root[0]:-}" = none ]; then
    say "Not installing them (no root, no sudo, or told not to). As root:" >&2
    say "  apt-get update && apt-get install --no-install-recommends $names" >&2
    exit 1
  fi
  log=$(mktemp "${TMPDIR:-/tmp}/panewalk-apt.XXXXXX")
  as_root+=(env DEBIAN_FRONTEND=noninteractive LC_ALL=C apt-get -o DPkg::Lock::Timeout=300)
  say "Asking Debian for its package lists …"
  "${as_root[@]}" update >"$log" 2>&1 || { show_end "$log"; }
  # shellcheck disable=SC2086  # the names are words
  "${as_root[@]}" install --assume-no --no-install-recommends $names 2>/dev/null </dev/null |
    sed -nE 's/^Need to get (.*) of archives\./To download: \1/p
             s/^After this operation, (.*) of additional disk space will be used\./On disk: \1/p' || true
  # shellcheck disable=SC2086
  "${as_root[@]}" install -y --no-install-recommends $names </dev/null 2>&1 | tee "$log" | apt_progress ||
    { show_end "$log"; }
  rm -f "$log"
}

packages_for_build() { need "Building" "$build_packages"; }

packages_for_tests() {
  need "Testing" "$build_packages$test_packages"
  npm_packages tests/peers 2
  npm_packages tests/browser 4
}

packages_for_fuzz_coverage() {
  packages_for_tests
  need "Measuring coverage" "$fuzz_coverage_packages"
}

# packages_for_package COMPILERS: with these lines of a list.
packages_for_package() { need "Packing" "$build_packages$package_packages$1"$'\n'; }

packages_for_package_test() { need "Testing packages" "$package_test_packages"; }

packages_for_screens() {
  packages_for_tests
  need "Taking screenshots" "$screens_packages"
}

# npm_packages FOLDER MEGABYTES: what the folder's lock file names, exactly, without install scripts.
npm_packages() {
  local folder=$1 stamp=$1/node_modules/.as-locked log
  if cmp -s "$folder/package-lock.json" "$stamp"; then return 0; fi
  say "Testing needs the npm packages of $folder (about $2 MB): $(
    sed -nE '/devDependencies/,/}/s/^ +"([a-z-]+)": "([0-9.]+)".*/\1 \2/p' "$folder/package.json" |
      paste -sd, | sed 's/,/, /g')"
  log=$(mktemp "${TMPDIR:-/tmp}/panewalk-npm.XXXXXX")
  (cd "$folder" && npm ci --ignore-scripts --no-audit --no-fund) >"$log" 2>&1 </dev/null ||
    show_end "$log"
  cp "$folder/package-lock.json" "$stamp"
  rm -f "$log"
}
