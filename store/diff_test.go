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
