package fileform_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/engine/catalogue"
	"seamwright/engine/fileform"
	"seamwright/engine/job"
)

func seeds(f *testing.F) {
	for _, pattern := range []string{"testdata/broken/*.[yj]*", "../../examples/*.yaml", "../builtin/data/*.yaml"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			f.Fatalf("%s: %d files, %v", pattern, len(files), err)
		}
		for _, path := range files {
			data, err := os.ReadFile(path)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(data)
		}
	}
	for _, s := range []string{"", "\xff", "\x00", "\xef\xbb\xbfa: 1\r\n", "{", "[", "? a", "- - -", "a: |\n", "a: >\n x", "%", "*a", "&a", "!a b", "a: \"", "a: '", "{a: [", "a:\n\t- 1", "...", "---", "a: {b: 'c', d: \"e\\u0000\"}", "a: \"\\ud800\"", "{\"a\":\"\\ud800\"}"} {
		f.Add([]byte(s))
	}
}

// check holds for any bytes: problems can be shown and point into the file,
// and what was accepted can be saved and read again.
func check[T any](t *testing.T, name string, data []byte) {
	var v T
	_, ps := fileform.Decode(name, data, &v)
	lines := bytes.Count(data, []byte("\n")) + bytes.Count(data, []byte("\r")) + 1
	if len(ps) > 51 {
		t.Fatalf("%d problems", len(ps))
	}
	for _, p := range ps {
		if p.Message == "" || p.Code == "" || p.Line < 0 || p.Line > lines+1 || p.Column < 0 || strings.Contains(p.Corrected, "\n") {
			t.Fatalf("%+v", p)
		}
	}
	if len(ps) > 0 {
		return
	}
	for name, text := range map[string][]byte{"x.json": fileform.WriteJSON(v), "x.yaml": fileform.WriteYAML(v)} {
		var back T
		if _, ps := fileform.Decode(name, text, &back); len(ps) > 0 {
			t.Fatalf("accepted, saved and then refused: %s\n%s", fileform.Text(ps), text)
		}
		if !same(v, back) {
			t.Fatalf("changed by saving as %s:\n%s", name, text)
		}
	}
}

func FuzzJob(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		check[job.Job](t, "x.yaml", data)
		check[job.Job](t, "x.json", data)
		j, src, ps := fileform.ReadJob("x", data)
		if !fileform.Refuses(ps) {
			fileform.CheckJob(&j, src)
		}
	})
}

func FuzzCatalogue(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		check[catalogue.File](t, "x.yaml", data)
		c, src, _ := fileform.ReadCatalogue("x", data)
		fileform.CheckCatalogue(&c, src) // half-read files must not upset it either
	})
}
