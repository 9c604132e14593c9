package scene

import (
	"strings"
	"unicode/utf8"
)

// Wrap breaks a text with marks (see Rich) into lines no wider than width mm.
// Lines break at spaces and after hyphens between letters; "\n" forces a break;
// a no-break space (U+00A0) holds words together. A word wider than the line is
// broken inside, so a line is never too wide.
func Wrap(s Style, width float64, marked string) [][]Run {
	var out [][]Run
	for para := range strings.SplitSeq(marked, "\n") {
		out = append(out, wrapRuns(s, width, Rich(para))...)
	}
	return out
}

// word is the least that stays on one line: runs without a gap between them.
type word struct {
	runs  []Run
	space bool // a space stands before it
}

func wrapRuns(s Style, width float64, in []Run) [][]Run {
	var lines [][]Run
	var line []Run
	used := 0.0
	for _, w := range words(in) {
		for _, w := range splitWide(s, width, w) {
			need := runsWidth(s, w.runs)
			gap := Run{S: " "}
			if w.space && len(line) > 0 {
				gap.Bold = w.runs[0].Bold && line[len(line)-1].Bold
				need += runsWidth(s, []Run{gap})
			}
			if len(line) > 0 && used+need > width+1e-9 {
				lines, line, used = append(lines, mergeRuns(line)), nil, 0
				need = runsWidth(s, w.runs)
			}
			if w.space && len(line) > 0 {
				line = append(line, gap)
			}
			line = append(line, w.runs...)
			used += need
		}
	}
	return append(lines, mergeRuns(line))
}

// words cuts runs at spaces and hyphens and joins what touches across runs.
func words(in []Run) []word {
	var out []word
	space, glued := false, false
	for _, r := range in {
		for _, part := range cutWords(r.S) {
			if part == " " {
				space, glued = true, false
				continue
			}
			piece := r
			piece.S = part
			if glued {
				last := &out[len(out)-1]
				last.runs = append(last.runs, piece)
			} else {
				out = append(out, word{[]Run{piece}, space})
			}
			space = false
			glued = !breaksAfter(part)
		}
	}
	return out
}

func breaksAfter(part string) bool {
	return strings.HasSuffix(part, "-") && len(part) > 1 && isLetter(part[len(part)-2])
}

func isLetter(b byte) bool { return b|0x20 >= 'a' && b|0x20 <= 'z' }

// cutWords splits a string into words and single spaces; a hyphen after a
// letter ends a word, one inside a measure such as 22-15/16 does not.
func cutWords(s string) []string {
	var out []string
	start := 0
	for i := 0; i < len(s); i++ {
		switch {
		case s[i] == ' ':
			if i > start {
				out = append(out, s[start:i])
			}
			out = append(out, " ")
			start = i + 1
		case s[i] == '-' && i > start && isLetter(s[i-1]) && i+1 < len(s) && isLetter(s[i+1]):
			out = append(out, s[start:i+1])
			start = i + 1
		}
	}
	if start < len(s) {
		out = append(out, s[start:])
	}
	return out
}

// splitWide breaks a word that is wider than the line.
func splitWide(s Style, width float64, w word) []word {
	if runsWidth(s, w.runs) <= width {
		return []word{w}
	}
	var out []word
	cur := word{space: w.space}
	for _, r := range w.runs {
		for len(r.S) > 0 {
			_, n := utf8.DecodeRuneInString(r.S)
			piece := r
			piece.S = r.S[:n]
			r.S = r.S[n:]
			if len(cur.runs) > 0 && runsWidth(s, append(cur.runs[:len(cur.runs):len(cur.runs)], piece)) > width {
				out = append(out, cur)
				cur = word{}
			}
			cur.runs = mergeRuns(append(cur.runs, piece))
		}
	}
	return append(out, cur)
}

func runsWidth(s Style, runs []Run) float64 { return Text{Runs: runs, Style: s}.Lay().Width }

// mergeRuns joins neighbours of the same look, so that a line is as few pieces
// as can be and is found by search.
func mergeRuns(in []Run) []Run {
	var out []Run
	for _, r := range in {
		if n := len(out); n > 0 && r.Den == "" && out[n-1].Den == "" && out[n-1].Bold == r.Bold && out[n-1].Shift == r.Shift {
			out[n-1].S += r.S
			continue
		}
		out = append(out, r)
	}
	return out
}

// Shorten makes a plain text fit a width: at its own size, at smaller sizes
// down to 7 pt, then cut short with an ellipsis.
func Shorten(s Style, width float64, text string) (Style, string) {
	for _, size := range []float64{s.Size, 0.93 * s.Size, 0.87 * s.Size, Tiny} {
		if size >= Tiny || size == s.Size {
			if t := s.At(size); t.Width(text) <= width {
				return t, text
			}
		}
	}
	s.Size = min(s.Size, Tiny)
	for len(text) > 0 && s.Width(text+"…") > width {
		_, n := utf8.DecodeLastRuneInString(text)
		text = strings.TrimRight(text[:len(text)-n], " ")
	}
	return s, text + "…"
}
