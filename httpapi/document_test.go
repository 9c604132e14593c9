package httpapi

import (
	"bytes"
	"strings"
	"testing"

	"seamwright/engine/fileform"
	"seamwright/examples"
)

// The document kept of a job file says what the file said, or the file was
// refused: nobody's 010 becomes 8 on its way in.
func checkDocument(t *testing.T, text []byte) bool {
	j, _, problems := fileform.ReadJob("job", text)
	doc, ps := Document("job", text)
	if fileform.Refuses(problems) != fileform.Refuses(ps) {
		t.Fatalf("the reader and the store do not agree on %q", text)
	}
	if fileform.Refuses(problems) {
		return false
	}
	again, _, ps := fileform.ReadJob("job.json", doc)
	if fileform.Refuses(ps) || !bytes.Equal(fileform.WriteJSON(&again), fileform.WriteJSON(&j)) {
		t.Errorf("%q became %s", text, doc)
	}
	return true
}

const little = "seamwright: 1\nname: %\nunits: mm\nsystem: twin8-600\nplanes:\n  - name: p\n    tapes: {AB: 3000, BC: 2000.5, CD: 3000, DA: 2000}\n"

func TestDocument(t *testing.T) {
	for _, name := range []string{"Shed", "010", "1e3", "yes", "null", "0x1F", "2026-01-01", "1_000", "'quoted: #1'", `"a\tb"`, "ünïcode ½", "12:30", ".inf", "~"} {
		text := []byte(named(name))
		if !checkDocument(t, text) && name == "Shed" {
			t.Error("the plain file was refused")
		}
	}
	for _, x := range examples.Jobs() {
		if !checkDocument(t, x.Text) {
			t.Errorf("%s was refused", x.Name)
		}
	}
}

func named(name string) string { return strings.Replace(little, "%", name, 1) }

func FuzzDocument(f *testing.F) {
	f.Add([]byte(fileform.Starter()))
	f.Add([]byte(named("010")))
	f.Add([]byte(`{"seamwright":1,"name":"x","units":"mm","system":"s","planes":[{"name":"p","tapes":{"AB":3000}}]}`))
	for _, x := range examples.Jobs() {
		f.Add(x.Text)
	}
	f.Fuzz(func(t *testing.T, text []byte) { checkDocument(t, text) })
}
