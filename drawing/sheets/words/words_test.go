package words

import (
	"reflect"
	"regexp"
	"strings"
	"testing"
)

var verb = regexp.MustCompile(`%[-+#0]*[\d.]*[a-z]`)

// A text that is missing in one language, or takes other values than in the
// first, prints nonsense on the paper of somebody who cannot read the first.
func TestEveryTextInEveryLanguage(t *testing.T) {
	same := map[string]bool{} // words that are alike in both languages
	for _, s := range strings.Fields("Millimetre FmtTimes FmtNew None Point Thousands ByTool FmtWindLimit FmtPermitResult PartClip CalcClips CalcWind PartFlange FmtUsed") {
		same[s] = true
	}
	en, de := reflect.ValueOf(english), reflect.ValueOf(german)
	for i := range en.NumField() {
		name, a, b := en.Type().Field(i).Name, en.Field(i).String(), de.Field(i).String()
		if a == "" || b == "" {
			t.Errorf("%s: %q in English, %q in German", name, a, b)
			continue
		}
		if x, y := verb.FindAllString(a, -1), verb.FindAllString(b, -1); strings.Join(x, " ") != strings.Join(y, " ") {
			t.Errorf("%s takes %v in English and %v in German", name, x, y)
		}
		if a == b && !same[name] && len(a) > 8 {
			t.Errorf("%s is not translated: %q", name, a)
		}
	}
}

// Words that promise what no calculation can.
func TestNoPromises(t *testing.T) {
	promise := regexp.MustCompile(`(?i)\b(safe|safely|approved|engineered|compliant|sicher|zugelassenes|geprüftes Dach)\b`)
	for _, w := range []Table{english, german} {
		v := reflect.ValueOf(w)
		for i := range v.NumField() {
			if m := promise.FindString(v.Field(i).String()); m != "" {
				t.Errorf("%s says %q", v.Type().Field(i).Name, m)
			}
		}
	}
}
