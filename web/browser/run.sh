#!/bin/sh
# Drives the pages in Chromium: `make browser`, or run.sh PROGRAM. Where Chromium
# or npm is missing it says so and is skipped; with BROWSER=must it fails instead.
set -eu
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
cd "$(dirname "$0")"
skip() {
  echo "browser tests skipped: $1" >&2
  [ "${BROWSER:-}" = must ] && exit 1
  exit 0
}
[ -x "${CHROMIUM:-/usr/bin/chromium}" ] || skip "no Chromium at ${CHROMIUM:-/usr/bin/chromium}; install it, or name it in CHROMIUM"
command -v npm >/dev/null || skip "npm is missing"
[ -d node_modules/playwright-core ] || npm install --no-audit --no-fund --silent || skip "npm could not fetch playwright-core and axe-core"
node run.mjs "$program"
node pages.mjs "$program"
node two.mjs "$program"
node exchange.mjs "$program"
# the store of a phone, in a browser's own storage
test=$(mktemp -d)
trap 'rm -rf "$test"' EXIT
GOOS=js GOARCH=wasm ${GO:-go} test -c -o "$test/store.wasm" ../../store/browser
node conform.mjs "$test/store.wasm" ../../pocket/dist/wasm_exec.js ../../pocket/js/idb.js
node pocket.mjs "$program"
node airplane.mjs "$program"
