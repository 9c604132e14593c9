#!/bin/sh
# Builds the engine for the page, Go only: web/dist/engine/ is not kept in the
# repository. Run from anywhere.
set -eu
cd "$(dirname "$0")/.."
out=web/dist/engine
mkdir -p "$out"
tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT
build() {
  GOOS=js GOARCH=wasm go build -trimpath -buildvcs=false -ldflags "-s -w" -o "$tmp/$1" "$2"
  gzip -9 -n -c "$tmp/$1" >"$tmp/$1.gz"
  mv "$tmp/$1.gz" "$out/$1.gz"
}
build engine.wasm ./cmd/seamwright-wasm
# The first visit waits for the engine, so it is packed tighter too.
go run ./internal/brotlipack "$tmp/engine.wasm" "$out/engine.wasm.br"
build papers.wasm ./cmd/seamwright-wasm/paper
cp "$(go env GOROOT)/lib/wasm/wasm_exec.js" "$out/wasm_exec.js"
