package fonts

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"
)

// Runes that papers need. Without one of them a length, a symbol of a formula
// or a customer's name would come out as an empty box.
const needed = "ABCXYZabcxyz0123456789 .,;:!?'\"()[]{}+-=*/\\<>|&%#@$€£_" +
	"−–—×·±≤≥≈√ΣΔαβγθφμπσδ²³½¼¾⅛⅜⅝⅞°′″‘’“”…→←↑↓Ø§ÄÖÜäöüßÉéèêñçåøæłšžőŻ"

func TestEveryFaceShowsWhatPapersNeed(t *testing.T) {
	for _, f := range All() {
		if m := f.Missing(needed); len(m) > 0 {
			t.Errorf("%s lacks %q", f.ID, m)
		}
	}
}

// Signs that must be drawn as shapes: a text with one of them must be refused,
// not printed as a box.
func TestMissingRunesAreTold(t *testing.T) {
	for _, f := range All() {
		for _, r := range "⌀☐⚠■●\u0000\n\U0001F600" {
			if f.Has(r) {
				t.Errorf("%s claims to show %q", f.ID, r)
			}
		}
		if got := string(f.Missing("a⌀b⌀☐")); got != "⌀☐" {
			t.Errorf("Missing = %q", got)
		}
	}
}

// A column of figures and a stacked fraction line up only if figures are
// equally wide.
func TestFiguresAreTabular(t *testing.T) {
	for _, f := range All() {
		w := f.Width("0")
		for _, r := range "123456789" {
			if f.Width(string(r)) != w {
				t.Errorf("%s: %q is %v wide, 0 is %v", f.ID, r, f.Width(string(r)), w)
			}
		}
	}
}

func TestMeasuresAgreeWithOutlines(t *testing.T) {
	for _, f := range All() {
		if got := -f.Glyph('H').Top; math.Abs(got-CapHeight) > 0.001 {
			t.Errorf("%s cap height %v", f.ID, got)
		}
		if got := -f.Glyph('x').Top; math.Abs(got-XHeight) > 0.007 {
			t.Errorf("%s x height %v", f.ID, got)
		}
	}
}

// The unwrapped file must be byte-exact: each table must give the checksum its
// author wrote down (head carries its own adjustment and is left out).
func TestUnwrapKeepsEveryTable(t *testing.T) {
	for _, f := range All() {
		ttf := f.TTF()
		be := binary.BigEndian
		for i := range int(be.Uint16(ttf[4:])) {
			rec := ttf[12+16*i:]
			if string(rec[:4]) == "head" {
				continue
			}
			off, size := be.Uint32(rec[8:]), be.Uint32(rec[12:])
			var sum uint32
			padded := append(bytes.Clone(ttf[off:off+size]), 0, 0, 0)
			for j := 0; j+4 <= int((size+3)&^3); j += 4 {
				sum += be.Uint32(padded[j:])
			}
			if sum != be.Uint32(rec[4:]) {
				t.Errorf("%s table %s: checksum %x, file says %x", f.ID, rec[:4], sum, be.Uint32(rec[4:]))
			}
		}
	}
}

func FuzzUnwrap(f *testing.F) {
	f.Add(condRegular[:2000])
	f.Add([]byte("wOFF"))
	// claims a font shorter than its own table directory
	f.Add([]byte("wOFF00000000\x00\x0100\x00\x00\x00\x0000000000000000000000000000000000000000000000"))
	f.Fuzz(func(t *testing.T, b []byte) {
		if _, err := unwrap(b); err == nil && len(b) < 44 {
			t.Error("accepted a file without a header")
		}
	})
}
