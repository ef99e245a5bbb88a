#!/usr/bin/env bash
# Every check there is: the quick ones, the Go tests on a real Postgres under the
# race detector, the tests of the pages, and the main job in a browser.
# BENCHTRAIL_SCREENSHOTS names a folder for pictures of every page.
set -euo pipefail
. "$(dirname "${BASH_SOURCE[0]}")/common.sh"

go_test() { go -C "$root" test -race -shuffle=on -count=1 ./...; }

web_test() { (cd "$web" && npm run --silent test); }

browser_test() { (cd "$web" && npm run --silent browser); }

trap closing_line EXIT
need_go
need_node
need_writable
build_linter
need_postgres
need_compiler
need_chromium
install_web
quick_steps
step 'Go: tests with the race detector, on a real Postgres' go_test
step 'Pages: unit tests' web_test
step 'Pages: build' build_web
step 'Program: build' build_program
step 'Pages: the main job in a browser' browser_test
