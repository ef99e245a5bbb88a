#!/usr/bin/env bash
# The quick checks, for before a commit: format, vet, lint, types, generated code.
set -euo pipefail
. "$(dirname "${BASH_SOURCE[0]}")/common.sh"

need_go
need_node
need_writable
install_web
trap closing_line EXIT
quick_steps
