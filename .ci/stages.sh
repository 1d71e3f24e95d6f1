# shellcheck shell=bash
# `./run test`, in the order of how fast it can say no. Sourced by run.
# shellcheck disable=SC2154  # build, logs and jobs are set by run

passed=0
failed=0
skipped=0
stage=
started=$SECONDS

# The last line, always: what was counted. A stage that breaks without a test counts as one failure.
totals() {
  local status=$?
  if [ "$status" -ne 0 ] && [ "$failed" -eq 0 ]; then failed=1; fi
  if [ "$status" -ne 0 ]; then say "stopped in: $stage" >&2; fi
  printf '%d passed, %d failed' "$passed" "$failed"
  if [ "$skipped" -gt 0 ]; then printf ', %d skipped' "$skipped"; fi
  printf '\n'
  exit "$status"
}

heading() {
  stage=$1
  local elapsed=$((SECONDS - started))
  printf '[%2d:%02d] %s\n' $((elapsed / 60)) $((elapsed % 60)) "$stage"
}

# configure_tree NAME: build/NAME as .cmake/NAME.cmake says. Where nobody will open a debugger, what one
# reads is not written.
configure_tree() {
  if [ -f "$build/$1/build.ninja" ]; then return 0; fi
  local brief=()
  if [ -n "${CI:-}" ] && [ "$1" = debug ]; then brief=(-DCMAKE_CXX_FLAGS_DEBUG=-g1); fi
  cmake -S . -B "$build/$1" -G Ninja -C ".cmake/$1.cmake" "${brief[@]}" >"$logs/$1-configure.log" 2>&1 ||
    show_end "$logs/$1-configure.log"
}

# build_tree NAME [TARGET…]
build_tree() {
  local name=$1
  shift
  configure_tree "$name"
  cmake --build "$build/$name" --parallel "$jobs" ${1:+--target "$@"} \
    >"$logs/$name-build.log" 2>&1 || show_end "$logs/$name-build.log"
}

# ctest_in NAME ctest-options…: runs, adds to the totals, shows what failed.
ctest_in() {
  local name=$1 report log status=0 counts
  shift
  report=$PWD/$logs/$name-ctest.xml
  case $logs in /*) report=$logs/$name-ctest.xml ;; esac
  log=$logs/$name-ctest.log
  rm -f "$report"
  # Every test must pass at once in the debug build. Under a sanitizer, several times slower, one that
  # waits for a socket or a thread may miss its moment and gets a second chance.
  local again=()
  if [ "$name" != debug ]; then again=(--repeat until-pass:2); fi
  "${launcher[@]}" ctest --test-dir "$build/$name" --parallel "$jobs" --no-tests=error "${again[@]}" \
    --output-on-failure --output-junit "$report" "$@" >"$log" 2>&1 </dev/null || status=$?
  [ -f "$report" ] || show_end "$log"
  counts=$(head -n 12 "$report" | tr '\n\t' '  ')
  count() { sed -nE "s/.*[ ]$1=\"([0-9]+)\".*/\1/p" <<<"$counts" | head -n 1; }
  local tests failures absent
  tests=$(count tests)
  failures=$(count failures)
  absent=$(($(count skipped) + $(count disabled)))
  passed=$((passed + tests - failures - absent))
  failed=$((failed + failures))
  skipped=$((skipped + absent))
  say "        $((tests - failures - absent)) of $tests tests passed"
  if [ "$status" -ne 0 ]; then
    grep -vE '^ *(Start +[0-9]+:|[0-9]+/[0-9]+ Test .* Passed )' "$log" >"$log.failed" || true
    show_end "$log.failed" 200
  fi
}
launcher=()

build_bench() {
  mkdir -p "$logs"
  if [ ! -f "$build/bench/build.ninja" ]; then
    cmake -S . -B "$build/bench" -G Ninja -C .cmake/release.cmake -DPANEWALK_BENCH=ON \
      >"$logs/bench-configure.log" 2>&1 || show_end "$logs/bench-configure.log"
  fi
  build_tree bench
}

bench_all() {
  build_bench
  local target
  for target in $(find "$build/bench" -type f -name 'bench_*' -perm -u+x | sort); do
    "$target" </dev/null
  done
}

# The fault finder's table in the README.
bench_find() {
  build_bench
  "$build/bench/tests/bench/find_benchmark" "$@"
}

# bench_stream [--quick] [--json FILE] [--only PART]…: the README's table of speed. What it sends stays in a
# network namespace.
bench_stream() {
  build_bench
  tests/support/netns.sh "$build/bench/tests/bench/stream_benchmark" "$@" </dev/null
}

# soak [MINUTES] [--seed N]: everything at once, in network namespaces; its records are left in build/soak.
soak() {
  local folder
  folder=$(readlink -f "$build")/soak
  rm -rf "$folder"
  mkdir -p "$folder"
  PANEWALK=$(readlink -f "$build/panewalk") PANEWALK_SOURCE=$PWD PYTHONPATH=$PWD/tests/support \
    PYTHONDONTWRITEBYTECODE=1 tests/support/in_temp_dir.sh \
    "$PWD/tests/support/netns.sh" python3 "$PWD/tests/soak/soak.py" "$@" --out "$folder" </dev/null
}

# The README's screenshots, taken from the program at $build/panewalk.
take_screens() {
  PANEWALK=$(readlink -f "$build/panewalk") PANEWALK_SOURCE=$PWD tests/support/in_temp_dir.sh \
    "$PWD/tests/support/netns.sh" node "$PWD/tests/browser/screens.mjs"
}

# The targets of build/tsan that test threads.
thread_targets() {
  ninja -C "$build/tsan" -t targets all |
    sed -nE 's/^(unit_(engine|io|web)): phony.*/\1/p' | sort -u
}

test_everything() {
  trap totals EXIT
  trap 'exit 130' INT
  trap 'exit 143' TERM
  heading "packages"
  packages_for_tests
  mkdir -p "$logs"

  heading "lint: format, scripts, spelling"
  lint_text
  heading "lint: cppcheck"
  lint_code

  heading "debug build with g++, warnings are errors"
  build_tree debug
  heading "unit tests and the rules of the tree"
  ctest_in debug --label-regex '^(unit|architecture)$'
  if [ "$1" = fast ]; then return 0; fi

  heading "each header by itself"
  lint_headers
  heading "laws over random cases"
  ctest_in debug --label-regex '^property$'
  heading "system tests: the program on loopback, with other receivers and tshark"
  ctest_in debug --label-regex '^system$'
  heading "browser tests: the page in Chromium"
  ctest_in debug --label-regex '^browser$'

  # One build for three things: the second compiler, the sanitizers, and what the fuzzers look into.
  heading "clang build with the address and undefined-behaviour sanitizers, warnings are errors"
  build_tree clang
  heading "the same tests under them"
  ctest_in clang --label-exclude '^(system|browser|architecture)$'
  heading "fuzzing, a few seconds a target"
  fuzz_all

  heading "the threads under the thread sanitizer"
  configure_tree tsan
  local targets
  targets=$(thread_targets)
  if [ -n "$targets" ]; then
    # shellcheck disable=SC2086  # the targets are words
    build_tree tsan $targets
    # The sanitizer can't place its memory where addresses are much randomised.
    if setarch -R true 2>/dev/null; then launcher=(setarch -R); fi
    ctest_in tsan --tests-regex '^unit\.(engine|io|web)$' --label-exclude '^(system|browser|architecture)$'
    launcher=()
  else
    say "        no folder with threads has tests"
  fi

  heading "done"
}
