#!/usr/bin/env bash
# Sets up what is missing, builds the pages and the program, and starts the demo.
# What follows goes to the program:  ./deploy/demo.sh --listen 127.0.0.1:9000 --data folder
set -euo pipefail
. "$(dirname "${BASH_SOURCE[0]}")/common.sh"

need_go
need_node
need_writable
need_postgres
install_web
build_web
build_program
say "Starting the demo"
exec "$root/bin/benchtrail" demo "$@"
