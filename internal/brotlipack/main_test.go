package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A page would be sent an engine it cannot unpack, or an old one.
func TestFile(t *testing.T) {
	name := filepath.Join(t.TempDir(), "engine.wasm")
	for _, text := range []string{strings.Repeat("the engine ", 500), strings.Repeat("a newer engine ", 500), ""} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := file(name, name+".br"); err != nil {
			t.Fatal(err)
		}
		b, err := os.ReadFile(name + ".br")
		if err != nil || !holds(b, []byte(text)) || holds(b, []byte(text+"x")) || len(b) > 100 {
			t.Errorf("%q: %d bytes, %v", text, len(b), err)
		}
	}
	old := time.Now().Add(-time.Hour).Truncate(time.Second)
	if err := os.Chtimes(name+".br", old, old); err != nil {
		t.Fatal(err)
	}
	if err := file(name, name+".br"); err != nil {
		t.Fatal(err)
	}
	if i, err := os.Stat(name + ".br"); err != nil || !i.ModTime().Equal(old) {
		t.Errorf("packed again what was packed already: %v", err)
	}
	if err := file(name+".missing", name+".br"); err == nil {
		t.Error("a file that is not there was packed")
	}
}
