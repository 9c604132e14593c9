#!/bin/sh
# Builds the engine for the page, Go only: web/dist/engine/ is not kept in the
# repository. Run from anywhere.
set -eu
cd "$(dirname "$0")/.."
out=web/dist/engine
mkdir -p "$out"
build() {
  GOOS=js GOARCH=wasm go build -trimpath -buildvcs=false -ldflags "-s -w" -o "$out/$1" "$2"
  gzip -9 -n -f "$out/$1"
}
build engine.wasm ./cmd/seamwright-wasm
build papers.wasm ./cmd/seamwright-wasm/paper
cp "$(go env GOROOT)/lib/wasm/wasm_exec.js" "$out/wasm_exec.js"
