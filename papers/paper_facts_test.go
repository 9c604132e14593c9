package papers

import (
	"bytes"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"testing"

	"seamwright/drawing/png"
	"seamwright/drawing/sheets"
	"seamwright/engine/job"
	"seamwright/engine/length"
)

// A scanned label must open its own piece: the printed codes are read by an
// independent decoder, every piece once.
func TestCodesAreReadBack(t *testing.T) {
	p := framePlan(t, 192, 144, 0.875)
	read := map[string]bool{}
	for _, dpi := range []float64{150, 200, 250, 300, 400} { // a reader of whole pages misses some at each
		var b bytes.Buffer
		if err := png.Write(&b, sheets.Labels(p, "3"), png.Options{DPI: dpi}); err != nil {
			t.Fatal(err)
		}
		name := filepath.Join(t.TempDir(), "labels.png")
		if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		for _, text := range strings.Split(strings.TrimSpace(tool(t, "zbarimg", "--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", name)), "\n") {
			if strings.HasPrefix(text, "G-1/3/") { // the reader also talks of other things
				read[text] = true
			}
		}
	}
	for _, q := range p.Count.Pieces {
		n := 0
		for text := range read {
			if strings.HasSuffix(text, "/"+q.ID) || strings.HasSuffix(text, " "+q.ID) {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%s is read from %d codes", q.ID, n)
		}
	}
	if len(read) != len(p.Count.Pieces) {
		t.Errorf("%d codes read for %d pieces: %q", len(read), len(p.Count.Pieces), slices.Sorted(maps.Keys(read)))
	}
}

var upright = regexp.MustCompile(`(?m)^q 0 0 0 RG 1\.417 w 0 J 0 j \d+ M \[\] 0 d ([\d.]+) ([\d.]+) m ([\d.]+) ([\d.]+) l S Q`)

// Tiles are laid on timber: every seam mark is measured back from the PDF, at full
// size, to a tenth of a mm.
func TestTilesAreFullSize(t *testing.T) {
	for name, p := range map[string]float64{"inch": 0.875, "square": 0} {
		p := framePlan(t, 192, 144, p)
		made, err := FullSize(p, Options{})
		if err != nil || len(made) == 0 {
			t.Fatalf("%s: no tiles: %v", name, err)
		}
		b, err := PDF(p, Options{}, "tiles", made)
		if err != nil {
			t.Fatal(err)
		}
		plain := filepath.Join(t.TempDir(), "plain.pdf")
		tool(t, "qpdf", "--qdf", "--object-streams=disable", onDisk(t, b), plain)
		raw, err := os.ReadFile(plain)
		if err != nil {
			t.Fatal(err)
		}
		var got []float64
		for _, m := range upright.FindAllSubmatch(raw, -1) {
			var v [4]float64
			for i := range v {
				v[i], _ = strconv.ParseFloat(string(m[i+1]), 64)
			}
			if high := math.Abs(v[1]-v[3]) * 25.4 / 72; v[0] == v[2] && math.Abs(high-23.6) < 0.1 {
				got = append(got, v[0]*25.4/72-20) // from the left end of the tile
			}
		}
		var want []float64
		for _, m := range p.Planes[0].Layout.Marks[0].Marks {
			if m.Kind == "starter" || m.Kind == "check" {
				at := math.Mod(m.At.MM(), 240)
				if at < 0 {
					at += 240
				}
				want = append(want, at)
			}
		}
		sort.Float64s(got)
		sort.Float64s(want)
		if len(got) != len(want) {
			t.Fatalf("%s: %d seam marks on the tiles, %d in the plan", name, len(got), len(want))
		}
		for i := range got {
			if math.Abs(got[i]-want[i]) > 0.1 {
				t.Errorf("%s: a mark lies %.2f mm from the end of its tile, not %.2f", name, got[i], want[i])
			}
		}
	}
}

// What was read on the roof stands in its box; what was not read is left empty.
func TestAsBuiltHoldsTheReadings(t *testing.T) {
	p := framePlan(t, 192, 144, 0.875)
	seam := p.Planes[0].Layout.Seams[2].ID
	read := length.FromMM(1207.7).Round(length.Inch16th, length.Nearest)
	b := map[string]job.AsBuilt{"roof": {Fixed: []string{"S1", seam}, Ripped: []string{"P1"}, Landings: []job.Landing{{Seam: seam, Reads: map[string][]length.Length{"PL1": {read}}}}}}
	text := p.Job.Tape.Plain(read, length.Nearest)
	for n, o := range []Options{{}, {Built: b}} {
		made, err := AsBuilt(p, o)
		if err != nil {
			t.Fatal(err)
		}
		var all []string
		for _, s := range made {
			all = append(all, texts(s)...)
		}
		if got := count(all)[text]; got != n {
			t.Errorf("with %d readings %s stands %d times", n, text, got)
		}
	}
}

// A permit set must not be handed in as long as the panel has no rating, and
// must say so first.
func TestPermitNamesWhatBlocksIt(t *testing.T) {
	for name, p := range examplePlans(t) {
		asked := 0
		for _, pl := range p.Planes {
			if pl.Checks != nil {
				asked += len(pl.Checks.Requests)
			}
		}
		made, err := Permit(p, Options{})
		if err != nil || len(made) == 0 {
			continue
		}
		said := strings.Join(texts(made[0]), " ")
		if blocked := strings.Contains(said, "BLOCKED"); asked > 0 && !blocked {
			t.Errorf("%s: %d ratings are missing and the set is not blocked", name, asked)
		}
	}
}

// All papers and drawings of a roof of 200 panels.
func BenchmarkAllTwoHundredPanels(b *testing.B) {
	p := framePlan(b, 4740, 144, 0.5)
	if n := len(p.Planes[0].Layout.Panels); n < 200 {
		b.Fatalf("%d panels", n)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := All(p, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
