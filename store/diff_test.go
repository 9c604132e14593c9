package store

import (
	"encoding/json"
	"reflect"
	"testing"
)

func TestDiff(t *testing.T) {
	for _, c := range []struct {
		name, from, to string
		want           []string // path from to
	}{
		{"equal", `{"a":1,"b":[1,{"name":"x"}]}`, `{"b":[1,{"name":"x"}],"a":1}`, nil},
		{"a reading", `{"planes":[{"name":"p","tapes":{"AC":"240 9/16 in"}}]}`, `{"planes":[{"name":"p","tapes":{"AC":"240 1/2 in"}}]}`,
			[]string{`planes[0].tapes.AC "240 9/16 in" "240 1/2 in"`}},
		{"a plane put in front changes nothing else", `{"planes":[{"name":"p","eave":"AB"}]}`, `{"planes":[{"name":"q"},{"name":"p","eave":"AB"}]}`,
			[]string{`planes[0]  {"name":"q"}`}},
		{"a plane taken away", `{"planes":[{"name":"p"},{"name":"q"}]}`, `{"planes":[{"name":"q"}]}`, []string{`planes[0] {"name":"p"} `}},
		{"without names by place", `{"found":["1 in","2 in"]}`, `{"found":["1 in","3 in","4 in"]}`, []string{`found[1] "2 in" "3 in"`, `found[2]  "4 in"`}},
		{"null is a value", `{"a":null}`, `{}`, []string{`a null `}},
		{"another kind", `{"a":{"b":1}}`, `{"a":[1]}`, []string{`a {"b":1} [1]`}},
		{"numbers to the last digit", `{"a":1000.0000000000000001}`, `{"a":1000.0000000000000002}`, []string{`a 1000.0000000000000001 1000.0000000000000002`}},
		{"whole documents", `1`, `{"a":"<&>"}`, []string{` 1 {"a":"<&>"}`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Diff(json.RawMessage(c.from), json.RawMessage(c.to))
			if err != nil {
				t.Fatal(err)
			}
			var lines []string
			for _, d := range got {
				lines = append(lines, d.Path+" "+string(d.From)+" "+string(d.To))
			}
			if !reflect.DeepEqual(lines, c.want) {
				t.Errorf("got %q, want %q", lines, c.want)
			}
			back, err := Diff(json.RawMessage(c.to), json.RawMessage(c.from))
			if err != nil || len(back) != len(got) {
				t.Errorf("the other way round: %d differences, %v", len(back), err)
			}
		})
	}
	if _, err := Diff(json.RawMessage("{"), json.RawMessage("{}")); err == nil {
		t.Error("broken JSON was compared")
	}
}

// Whatever two documents hold: a document does not differ from itself, both
// directions find as much, and depth never fails.
func FuzzDiff(f *testing.F) {
	for _, d := range []string{`{"planes":[{"name":"p","tapes":{"AC":"1"}}]}`, `{"planes":[{"name":"q"},{"name":"p"}]}`, `{"a":[1,null,{"name":""}]}`, `[]`, `"\\\"["`, `{"a":1e999}`} {
		f.Add([]byte(d), []byte(`{"planes":[{"name":"p"},{"name":"p"}],"a":null}`))
	}
	f.Fuzz(func(t *testing.T, a, b []byte) {
		if !json.Valid(a) || !json.Valid(b) {
			return
		}
		if d := depth(a); d < 0 || d > len(a) {
			t.Errorf("depth %d of %d bytes", d, len(a))
		}
		if same, err := Diff(a, a); err == nil && len(same) != 0 {
			t.Errorf("%s differs from itself: %v", a, same)
		}
		there, err := Diff(a, b)
		back, err2 := Diff(b, a)
		if (err == nil) != (err2 == nil) || len(there) != len(back) {
			t.Errorf("%d there, %d back, %v %v", len(there), len(back), err, err2)
		}
	})
}
