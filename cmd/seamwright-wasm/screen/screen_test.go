package screen

import (
	"os"
	"testing"

	"seamwright/engine/fileform"
)

// exampleDoc is a demo job as the page holds it.
func exampleDoc(t testing.TB, name string) string {
	t.Helper()
	b, err := os.ReadFile("../../../examples/" + name)
	if err != nil {
		t.Fatal(err)
	}
	j, _, problems := fileform.ReadJob(name, b)
	if fileform.Refuses(problems) {
		t.Fatal(fileform.Text(problems))
	}
	return string(fileform.WriteJSON(j))
}

func BenchmarkView(b *testing.B) {
	s, err := New()
	if err != nil {
		b.Fatal(err)
	}
	doc := exampleDoc(b, "lean-16x12.yaml")
	for b.Loop() {
		s.View(Request{Doc: doc, Stage: Measure, Width: 360, Height: 300})
	}
}
