package tsgen

import (
	"os"
	"testing"
)

// The page would read fields that the engine no longer writes.
func TestBridgeTypesAreCurrent(t *testing.T) {
	have, err := os.ReadFile("../../web/src/engine/types.ts")
	if err != nil {
		t.Fatal(err)
	}
	if string(have) != Bridge() {
		t.Fatal("web/src/engine/types.ts is out of date: go run ./internal/tsgen/cmd")
	}
}
