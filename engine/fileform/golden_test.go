package fileform_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/engine/fileform"
)

var update = flag.Bool("update", false, "rewrite the expected texts under testdata/broken")

// Beside each broken file stand the words a person gets for it. If one
// changes, read it as that person: does it still say what to type?
func TestBrokenFilesTellThePerson(t *testing.T) {
	files, err := filepath.Glob("testdata/broken/*.[yj]*")
	if err != nil || len(files) < 20 {
		t.Fatalf("%d files found, %v", len(files), err)
	}
	for _, path := range files {
		name := filepath.Base(path)
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			var problems []fileform.Problem
			if strings.HasPrefix(name, "catalogue") {
				_, _, problems = fileform.ReadCatalogue(name, data)
			} else {
				_, _, problems = fileform.ReadJob(name, data)
			}
			if !fileform.Refuses(problems) {
				t.Fatal("the broken file was accepted")
			}
			got := fileform.Text(problems) + "\n"
			wantPath := strings.TrimSuffix(path, filepath.Ext(path)) + ".want"
			if *update {
				if err := os.WriteFile(wantPath, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			want, err := os.ReadFile(wantPath)
			if err != nil {
				t.Fatal(err)
			}
			if string(want) != got {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		})
	}
}
