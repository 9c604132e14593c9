package builtin

import (
	"strings"
	"testing"

	"seamwright/engine/fileform"
)

func TestLoad(t *testing.T) {
	set, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"twin8-600", "triple16-980", "twin10-1000"} {
		s, ok := set.System(name)
		if !ok {
			t.Fatalf("%s is missing", name)
		}
		if !strings.Contains(s.Standing, "invented for demonstration") {
			t.Errorf("%s does not say that it is invented: %q", name, s.Standing)
		}
	}
	for _, n := range Names() {
		if _, _, ps := fileform.ReadCatalogue(n, File(n)); len(ps) > 0 {
			t.Errorf("%s", fileform.Text(ps))
		}
	}
}
