#!/usr/bin/env bash
# The quick checks, for before a commit: format, vet, lint, types, generated code.
set -euo pipefail
. "$(dirname "${BASH_SOURCE[0]}")/common.sh"

trap closing_line EXIT
need_go
need_node
need_writable
build_linter
install_web
quick_steps
