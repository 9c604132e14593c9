package fileform_test

import (
	"fmt"
	"strings"
	"testing"

	"seamwright/engine/fileform"
	"seamwright/engine/job"
)

const goodHead = "seamwright: 1\nname: t\nunits: mm\nsystem: s\n"
const goodTail = "planes:\n  - {name: p, slope: 5 deg, tapes: {AB: 1000}}\n"

func read(data string) (job.Job, []fileform.Problem) {
	var j job.Job
	_, ps := fileform.Decode("x.yaml", []byte(data), &j)
	return j, ps
}

func wantCode(t *testing.T, what, data, code string, line, column int) {
	t.Helper()
	_, ps := read(data)
	if len(ps) == 0 || ps[0].Code != code || line > 0 && (ps[0].Line != line || ps[0].Column != column) {
		t.Errorf("%s: want %s at %d:%d, got %s", what, code, line, column, clip(fileform.Text(ps)))
	}
}

func clip(s string) string {
	if len(s) > 400 {
		return s[:400] + " …"
	}
	return s
}

// A file that would stop the program for minutes, or crash it, must be turned
// away by its size and shape alone. Both sides of every bound.
func TestBounds(t *testing.T) {
	pad := func(n int) string {
		s := goodHead + goodTail
		return s + strings.Repeat("# "+strings.Repeat("x", 97)+"\n", (n-len(s))/100)
	}
	full := pad(1 << 20)
	full += strings.Repeat("#", 1<<20-len(full))
	if _, ps := read(full); len(ps) > 0 || len(full) != 1<<20 {
		t.Errorf("1 MiB is refused: %s", clip(fileform.Text(ps)))
	}
	wantCode(t, "1 MiB and one byte", full+"#", "too-big", 0, 0)
	wantCode(t, "100 MB", strings.Repeat("x", 100_000_000), "too-big", 0, 0)

	wantCode(t, "40 000 brackets", strings.Repeat("[", 40_000), "too-big", 0, 0)
	wantCode(t, "3 000 brackets", "a: "+strings.Repeat("[", 3_000), "too-deep", 1, 68)
	wantCode(t, "3 000 braces over many lines", strings.Repeat("{a:\n", 3_000), "syntax", 0, 0) // tried as JSON first, by its brace
	wantCode(t, "brackets hidden behind quoted ones", "a: "+strings.Repeat(`["]",`, 700), "too-deep", 0, 0)
	wantCode(t, "brackets after a word", "a: [x "+strings.Repeat("[x ", 700), "too-deep", 0, 0)
	wantCode(t, "dashes", strings.Repeat("- ", 1_500), "too-deep", 1, 1)
	wantCode(t, "question marks", strings.Repeat("? ", 1_500), "too-deep", 1, 1)
	wantCode(t, "deep JSON", strings.Repeat(`{"a":`, 5_000), "too-deep", 1, 65*5+1)
	wantCode(t, "a long line", goodHead+"notes: "+strings.Repeat("x", 4_000)+"\n", "too-big", 5, 4_001)
	wantCode(t, "many lines", goodHead+strings.Repeat("\n", 20_000), "too-big", 20_001, 1)
	wantCode(t, "many commas", goodHead+strings.Repeat("a: "+strings.Repeat(",", 3_000)+"\n", 7), "too-big", 0, 0)
	nested := "x" + strings.Repeat("]", 60)
	wantCode(t, "deep but within bounds", "seamwright: "+strings.Repeat("[", 60)+nested, "missing", 1, 1)
}

// Bytes that are no text are named by offset and place, so that a cut-off or
// foreign file is recognised as such.
func TestEncoding(t *testing.T) {
	wantCode(t, "Latin-1", "name: Caf\xe9\n", "encoding", 1, 10)
	_, ps := read("seamwright: 1\nname: Caf\xe9\n")
	if want := "byte 23 of the file (0xe9) is not UTF-8"; !strings.Contains(ps[0].Message, want) || ps[0].Line != 2 || ps[0].Column != 10 {
		t.Errorf("got %s, want %s", ps[0], want)
	}
	wantCode(t, "after a wide letter", "é\r\né\xff", "encoding", 2, 2)
	wantCode(t, "old line ends", "a\rb\xff", "encoding", 2, 2)
	wantCode(t, "NUL", "name: a\x00b", "control-character", 1, 8)
	wantCode(t, "escape character", "name: \x1b[31m", "control-character", 1, 7)
	wantCode(t, "UTF-16", "\xff\xfen\x00", "encoding", 1, 1)
	wantCode(t, "escaped NUL in JSON", `{"seamwright": 1, "units": "mm", "system": "s", "planes": [{"name": "p", "tapes": {"AB": 1}}], "name": "a\u0000b"}`, "control-character", 1, 104)
	for what, text := range map[string]string{
		"byte order mark": "\xef\xbb\xbf" + goodHead + goodTail,
		"Windows lines":   strings.ReplaceAll(goodHead+goodTail, "\n", "\r\n"),
		"old Mac lines":   strings.ReplaceAll(goodHead+goodTail, "\n", "\r"),
		"no last newline": strings.TrimSpace(goodHead + goodTail),
		"document marks":  "---\n" + goodHead + goodTail + "...\n",
		"mark and JSON":   "\xef\xbb\xbf{\"seamwright\": 1, \"name\": \"t\", \"units\": \"mm\", \"system\": \"s\", \"planes\": [{\"name\": \"p\", \"tapes\": {\"AB\": 1000}}]}",
		"YAML in braces":  "{seamwright: 1, name: t, units: mm, system: s, planes: [{name: p, tapes: {AB: 1000}}]}",
	} {
		j, ps := read(text)
		if len(ps) > 0 || j.Name != "t" || j.Planes[0].Tapes["AB"][0].MM() != 1000 {
			t.Errorf("%s: %s", what, fileform.Text(ps))
		}
	}
}

// A file with a thousand slips must not drown the first ones.
func TestProblemsAreCapped(t *testing.T) {
	var b strings.Builder
	for i := 0; i < 1000; i++ {
		fmt.Fprintf(&b, "slip%d: 1\n", i)
	}
	_, ps := read(goodHead + goodTail + b.String())
	if len(ps) != 51 || ps[50].String() != "x.yaml: and 950 more" {
		t.Errorf("%d problems, the last %q", len(ps), ps[len(ps)-1])
	}
}

// Findings raised by later stages name paths; the person needs lines.
func TestSourceKnowsPlaces(t *testing.T) {
	_, src, ps := fileform.ReadJob("x.yaml", []byte(goodHead+goodTail))
	if len(ps) > 0 {
		t.Fatal(fileform.Text(ps))
	}
	for path, want := range map[string]fileform.Place{
		"planes[0].tapes.AB":   {Line: 6, Column: 41},
		"planes[0].tapes.CD":   {Line: 6, Column: 36}, // the group it would be in
		"planes[0].purlins.at": {Line: 6, Column: 5},
		"units":                {Line: 3, Column: 8},
		"nowhere":              {Line: 1, Column: 1},
	} {
		if got := src.At(path); got != want {
			t.Errorf("%s is at %v, want %v", path, got, want)
		}
	}
	var none *fileform.Source
	if none.At("units") != (fileform.Place{}) {
		t.Error("a nil source must know no place")
	}
}

// What a person types as text must arrive as typed.
func TestTextsArriveAsTyped(t *testing.T) {
	for in, want := range map[string]string{
		`"Unit #4"`: "Unit #4", `Unit # 4 of 5`: "Unit", `2407`: "2407", `007`: "007", `"true"`: "true", `'it''s'`: "it's", `12:30`: "12:30",
		`no`: "no", `½ roof`: "½ roof", `"a\nb"`: "a\nb", `1e3`: "1e3", "|\n  two\n  lines": "two\nlines", ">\n  one\n  line": "one line", `C#`: "C#",
	} {
		j, ps := read(strings.Replace(goodHead, "name: t", "name: "+in, 1) + goodTail)
		if len(ps) > 0 || j.Name != want {
			t.Errorf("%s became %q, want %q; %s", in, j.Name, want, fileform.Text(ps))
		}
	}
}

// Numbers that readers disagree on are refused, each with a number that is
// clear, where one is.
func TestNumbers(t *testing.T) {
	type numbers struct {
		N int     `key:"n" doc:"a count"`
		X float64 `key:"x" doc:"a factor"`
	}
	for in, ok := range map[string]bool{
		"n: 5": true, "n: -5": true, "n: 0": true, "n: 999999999": true, "x: 1.5": true, "x: -0.25": true, "x: 10": true, "x: 0": true, `{"n": 5, "x": 1.5}`: true,
		"n: 010": false, "n: 0x10": false, "n: 0o17": false, "n: 0b11": false, "n: 1_000": false, "n: +5": false, "n: 5.0": false, "n: '5'": false, "n: ''": false,
		"n: ~": false, "n: null": false, "n: 1e3": false, "n: 9999999999": false, "n: .inf": false, "n: five": false, "n: true": false, "n: -0": false, "n: [5]": false,
		"x: .nan": false, "x: .inf": false, "x: -.INF": false, "x: 1e3": false, "x: 1,5": false, "x: .5": false, "x: 5.": false, "x: '1.5'": false, "x: 01.5": false,
		"x:": false, `{"x": 1e3}`: false, `{"x": "1.5"}`: false, "x: 1 000": false, "x: ٣": false,
	} {
		var v numbers
		if _, ps := fileform.Decode("x", []byte(in), &v); fileform.Refuses(ps) == ok {
			t.Errorf("%s: %s", in, fileform.Text(ps))
		}
	}
	for in, want := range map[string]string{"n: 010": "n: 10", "n: 1_000": "n: 1000", "n: +5": "n: 5", "n: '5'": "n: 5", "x: 1,5": "x: 1.5", "x: .5": "x: 0.5", "x: 1,500": "", "n: five": "", "x: '1.5'": "x: 1.5"} {
		var v numbers
		if _, ps := fileform.Decode("x", []byte(in), &v); len(ps) != 1 || ps[0].Corrected != want {
			t.Errorf("%s: want %q, got %s", in, want, fileform.Text(ps))
		}
	}
}

func BenchmarkReadJob(b *testing.B) {
	data := []byte(fileform.Starter())
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, _, ps := fileform.ReadJob("x.yaml", data); len(ps) > 0 {
			b.Fatal(fileform.Text(ps))
		}
	}
}

func BenchmarkReadJobJSON(b *testing.B) {
	j, _, _ := fileform.ReadJob("x.yaml", []byte(fileform.Starter()))
	data := fileform.WriteJSON(j)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, _, ps := fileform.ReadJob("x.json", data); len(ps) > 0 {
			b.Fatal(fileform.Text(ps))
		}
	}
}

func BenchmarkWriteJSON(b *testing.B) {
	j, _, _ := fileform.ReadJob("x.yaml", []byte(fileform.Starter()))
	for b.Loop() {
		fileform.WriteJSON(j)
	}
}

// The worst files that pass the bounds or only just fail them.
func BenchmarkHostile(b *testing.B) {
	keys := func(form string, n int) string {
		var s strings.Builder
		for i := 0; i < n; i++ {
			fmt.Fprintf(&s, form, i)
		}
		return s.String()
	}
	for _, c := range []struct{ name, text string }{
		{"40000_brackets", strings.Repeat("[", 40_000)},
		{"9000_hidden_brackets", "a: |\n  \"\n" + keys("b%d: [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[\n", 220)},
		{"20000_keys", keys("k%d: 1\n", 19_990)},
		{"20000_flow_keys", "x: {\n" + keys("k%d: 1,\n", 19_900) + "}"},
		{"20000_tags", strings.Repeat("- !a\n", 19_990)},
		{"1MiB_text", goodHead + "notes: |\n" + strings.Repeat("  some words of text that go on for a while in one line\n", 18_000)},
		{"1MiB_JSON", `{"a": [` + strings.Repeat(`"b", `, 200_000) + `"b"]}`},
		{"100MB", strings.Repeat("x", 100_000_000)},
	} {
		b.Run(c.name, func(b *testing.B) {
			data := []byte(c.text)
			for b.Loop() {
				var j job.Job
				fileform.Decode("x.yaml", data, &j)
			}
		})
	}
}
