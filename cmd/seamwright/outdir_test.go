package main

import (
	"os"
	"path/filepath"
	"testing"
)

// Papers of yesterday must not be half replaced: if one file cannot be put in
// its place, all of them stay as they were.
func TestWriteAllIsWholeOrNothing(t *testing.T) {
	dir := t.TempDir()
	old := filepath.Join(dir, "a.pdf")
	if err := os.WriteFile(old, []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	// A folder with something in it stands where b.pdf should go.
	if err := os.MkdirAll(filepath.Join(dir, "b.pdf", "full"), 0o755); err != nil {
		t.Fatal(err)
	}
	files := []outFile{{"a.pdf", []byte("new")}, {"c/none.pdf", []byte("x")}}
	if err := writeAll(dir, files); err == nil {
		t.Fatal("a file in a folder that does not exist was written")
	}
	if b, _ := os.ReadFile(old); string(b) != "old" {
		t.Errorf("a.pdf now holds %q", b)
	}
	left, _ := filepath.Glob(filepath.Join(dir, ".seamwright-*"))
	if len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
	if err := writeAll(dir, []outFile{{"a.pdf", []byte("new")}, {"d.svg", []byte("s")}}); err != nil {
		t.Fatal(err)
	}
	if b, _ := os.ReadFile(old); string(b) != "new" {
		t.Errorf("a.pdf was not replaced: %q", b)
	}
}

// A folder that was not there is not left behind by a failed run.
func TestWriteAllLeavesNoEmptyFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	if err := writeAll(dir, []outFile{{"x/y.pdf", nil}}); err == nil {
		t.Fatal("written")
	}
	if _, err := os.Stat(dir); !os.IsNotExist(err) {
		t.Error("an empty folder was left")
	}
}
