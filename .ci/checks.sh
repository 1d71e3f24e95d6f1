# shellcheck shell=bash
# What a machine can see without running the program. Sourced by run.
# shellcheck disable=SC2154  # build, logs and jobs are set by run

# Prints the end of a log and ends with status 1.
show_end() {
  say "---- the end of $1" >&2
  tail -n "${2:-60}" "$1" >&2
  exit 1
}

# The project's own text files, also those that git does not have yet.
own_files() {
  git ls-files -co --exclude-standard -- "$@" | while read -r file; do
    if [ -f "$file" ]; then printf '%s\n' "$file"; fi
  done
}

# Text: format, scripts, spelling, blanks. Prints every finding, fails if there is one.
lint_text() {
  local bad=0 file
  own_files '*.cpp' '*.hpp' | xargs -r clang-format --dry-run -Werror || bad=1
  { own_files '*.sh'; echo run; echo .ci/run; } | xargs shellcheck -x || bad=1
  # The tests misspell some words on purpose; nothing else may.
  own_files | grep -vE '^tests/|^\.ci/misspelt' |
    xargs codespell --ignore-words .ci/spelling.txt || bad=1
  own_files tests | grep -vE '^tests/(golden|fuzz/corpus)/|package-lock' |
    xargs codespell --ignore-words .ci/spelling.txt --ignore-words .ci/misspelt.txt || bad=1
  if own_files | grep -vE '^tests/(golden|fuzz/corpus)/' | xargs grep -nIE '[ 	]+$'; then
    say "lint: blanks at the end of these lines" >&2
    bad=1
  fi
  while read -r file; do
    if [ -s "$file" ] && [ -n "$(tail -c 1 "$file")" ]; then
      say "$file: no line end at its end" >&2
      bad=1
    fi
  done < <(own_files | grep -vE '^tests/fuzz/corpus/|\.png$')
  while read -r file; do
    node --input-type=module --check <"$file" || { say "$file: see above" >&2; bad=1; }
  done < <(own_files '*.js' '*.mjs')
  return "$bad"
}

# What is let through stands in .ci/cppcheck.txt, with its reason.
lint_code() {
  cppcheck --quiet --std=c++20 --language=c++ --enable=warning,performance,portability \
    --error-exitcode=1 --suppressions-list=.ci/cppcheck.txt \
    -j "$jobs" -I src src
}

# Every header compiles by itself.
lint_headers() {
  mkdir -p "$logs"
  configure_tree debug
  cmake --build "$build/debug" --parallel "$jobs" --target all_verify_interface_header_sets \
    >"$logs/headers.log" 2>&1 || show_end "$logs/headers.log"
}

# clang-tidy over every file of the program and its tests.
lint_tidy() {
  mkdir -p "$logs"
  configure_tree clang
  run-clang-tidy -quiet -j "$jobs" -p "$build/clang" "^$PWD/(src|tests)/.*" \
    >"$logs/tidy.log" 2>&1 || {
    grep -E '(warning|error):' "$logs/tidy.log" | sort -u >&2
    return 1
  }
}
