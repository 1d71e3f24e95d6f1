# shellcheck shell=bash
# The fuzz targets of tests/fuzz: short runs in CI, long ones by hand, coverage. Sourced by run.
# shellcheck disable=SC2154  # build and logs are set by run, passed by stages.sh

# Seconds of each target in `./run test`, 80 together: more where an input takes longer.
ci_seconds() {
  case $1 in
    fuzz_e131 | fuzz_artnet) echo 4 ;;
    fuzz_import | fuzz_pattern) echo 7 ;;
    fuzz_site | fuzz_server) echo 12 ;;
    fuzz_http) echo 10 ;;
    *) echo 8 ;;
  esac
}

# Every target by the CMake file, one a line.
fuzz_targets() { sed -nE 's/^panewalk_fuzz_target\((fuzz_[a-z0-9_]+) .*/\1/p' tests/fuzz/CMakeLists.txt; }

# fuzz_one TARGET SECONDS: from the committed corpus and what earlier runs found in build/fuzz; an input
# that fails goes to build/logs.
fuzz_one() {
  local name=$1 found=$build/fuzz/$1 corpus=tests/fuzz/corpus/$1 options=() status=0
  mkdir -p "$found"
  if [ -f "tests/fuzz/dict/$name.dict" ]; then options=(-dict="tests/fuzz/dict/$name.dict"); fi
  "$build/clang/tests/fuzz/$name" -max_total_time="$2" -timeout=10 -rss_limit_mb=2048 \
    -print_final_stats=1 -artifact_prefix="$logs/$name-" "${options[@]}" "$found" "$corpus" \
    >"$logs/$name.log" 2>&1 </dev/null || status=$?
  if [ "$status" -ne 0 ]; then
    say "Put the input that fails into $corpus, mend it, and keep it there." >&2
    show_end "$logs/$name.log"
  fi
  say "        $name: $(sed -n 's/^stat::number_of_executed_units: *//p' "$logs/$name.log") inputs"
}

# fuzz_all [SECONDS]: every target for so long, or as long as CI gives it.
fuzz_all() {
  local name
  for name in $(fuzz_targets); do
    fuzz_one "$name" "${1:-$(ci_seconds "$name")}"
    passed=$((passed + 1))
  done
}

# fuzz_by_hand [TARGET] [SECONDS] | coverage
fuzz_by_hand() {
  local name='' seconds=60
  if [ "${1:-}" = coverage ]; then fuzz_coverage; return; fi
  if [ -n "${1:-}" ] && [[ $1 != [0-9]* ]]; then
    name=$1
    shift
    if ! fuzz_targets | grep -qxF -- "$name"; then
      say "run: no fuzz target \"$name\"; there are $(fuzz_targets | paste -sd' '), and coverage" >&2
      exit 2
    fi
  fi
  if [ -n "${1:-}" ]; then seconds=$1; fi
  if ! [[ $seconds =~ ^[1-9][0-9]{0,5}$ ]] || [ $# -gt 1 ]; then
    say "run: fuzz takes a target, seconds from 1 to 999999, or both in this order" >&2
    exit 2
  fi
  packages_for_tests
  mkdir -p "$logs"
  local targets=("$name")
  if [ -z "$name" ]; then mapfile -t targets < <(fuzz_targets); fi
  build_tree clang "${targets[@]}"
  if [ -n "$name" ]; then fuzz_one "$name" "$seconds"; else fuzz_all "$seconds"; fi
}

# lines_of TITLE INDEXED PROGRAM…: how many lines of each folder of src they reached.
lines_of() {
  local title=$1 indexed=$2 first=$3 program others=()
  shift 3
  for program in "$@"; do others+=(-object "$program"); done
  llvm-cov-14 report "$first" "${others[@]}" -instr-profile="$indexed" "$PWD/src" \
    >"$logs/fuzz-coverage.log" 2>&1 || show_end "$logs/fuzz-coverage.log"
  # File, then total, missed and share of regions, functions and lines.
  awk -v title="$title" '
    function row(name, have, lack) {
      printf "%-18s %-9s %6d of %6d lines  %5.1f %%\n", title, name, have - lack, have,
             100 * (have - lack) / have
    }
    $1 ~ /\.[ch]pp$/ { split($1, at, "/"); folder = at[1]
      lines[folder] += $8; missed[folder] += $9; all += $8; all_missed += $9 }
    END { for (folder in lines) if (lines[folder] > missed[folder]) row(folder, lines[folder], missed[folder])
          row("~all", all, all_missed) }' "$logs/fuzz-coverage.log" | sort | sed 's/~all/all /'
}

# What the committed corpora reach, by clang's source-based coverage.
fuzz_coverage() {
  packages_for_fuzz_coverage
  mkdir -p "$logs"
  local name tree=$build/coverage raw=$build/coverage/raw replays=() programs=()
  for name in $(fuzz_targets); do replays+=("${name/fuzz_/replay_}"); done
  build_tree coverage "${replays[@]}"
  rm -rf "$raw"
  mkdir -p "$raw"
  for name in "${replays[@]}"; do
    LLVM_PROFILE_FILE=$raw/$name.profraw "$tree/tests/fuzz/$name" \
      "tests/fuzz/corpus/${name/replay_/fuzz_}" >"$logs/$name.log" || show_end "$logs/$name.log"
    llvm-profdata-14 merge -sparse "$raw/$name.profraw" -o "$raw/$name.profdata"
    lines_of "${name/replay_/fuzz_}" "$raw/$name.profdata" "$tree/tests/fuzz/$name"
    programs+=("$tree/tests/fuzz/$name")
  done
  llvm-profdata-14 merge -sparse "$raw"/*.profraw -o "$raw/all.profdata"
  lines_of "all together" "$raw/all.profdata" "${programs[@]}"
}
