package measure

import (
	"fmt"
	"math"
	"strings"

	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/survey"
)

// verdict says what the readings say of each other. With one redundancy a
// misread can be noticed but never located, and no culprit is named.
func (f *fitter) verdict(d *survey.Diagnosis) {
	switch d.Verdict {
	case survey.Unchecked:
		f.out.Blunder.Verdict = "unchecked"
		f.say(finding.Warn, "survey.unchecked", "tapes", "nothing checks the readings", "there are just enough of them to fix the frame, so a misread tape would go unseen", "take at least one more")
	case survey.Clean:
		f.out.Blunder.Verdict = "none"
	case survey.Doubtful:
		f.out.Blunder.Verdict = "doubtful"
		f.say(finding.Warn, "survey.doubtful", strings.Join(d.Remeasure, ", "), "the readings close less well than this tape should", f.closing(d), "read "+again(d.Remeasure)+" again before cutting")
	case survey.Noticed:
		f.out.Blunder.Verdict = "noticed"
		f.out.Blunder.Hints = f.hints(d.Suspects)
		what := "a tape was misread; which one cannot be told"
		if d.Impossible != nil {
			what = f.impossible(d.Impossible)
		}
		f.say(finding.Stop, "survey.noticed", strings.Join(d.Remeasure, ", "), what, f.closing(d)+mixedUp(d.Impossible), "read "+again(d.Remeasure)+" again; do not cut from these readings")
	case survey.Located:
		f.out.Blunder.Verdict = "located"
		f.out.Blunder.Hints = f.hints(d.Located)
		for _, s := range d.Located {
			if f.out.Blunder.Suspect == "" {
				f.out.Blunder.Suspect = s.ID
			}
			f.say(finding.Stop, "survey.located", s.ID, fmt.Sprintf("%s reads %s; the others say %s", s.ID, f.mark(s.Value), f.mark(s.Predicted)),
				"it alone explains the disagreement; the plan below leaves it out until it is read again"+slipText(s), "read "+s.ID+" again; do not cut before")
		}
	}
	if d.Noisy {
		f.say(finding.Warn, "survey.noisy", "tapes", "the readings scatter more than this tape should", "no single one stands out", "hold the tape straight and level, agree on the corners, and read all again")
	}
	if d.Verdict != survey.Unchecked {
		for _, id := range d.Unchecked {
			if _, taped := f.read[id]; taped {
				f.say(finding.Note, "survey.reading-unchecked", id, "nothing checks the reading "+id, "no other reading feels a mistake in it", "take another tie that touches it")
			}
		}
	}
}

// impossible says in the job's own units why no frame has these lengths.
func (f *fitter) impossible(e *survey.ImpossibleError) string {
	if len(e.Violations) == 0 {
		return e.Error()
	}
	v := e.Violations[0]
	return fmt.Sprintf("%s reads %s, but %s end to end make only %s", v.ID, f.mark(v.Value), strings.Join(v.Round, " and "), f.mark(v.SumMM))
}

// mixedUp names the unit in which an impossible reading would be possible.
func mixedUp(e *survey.ImpossibleError) string {
	if e == nil {
		return ""
	}
	var out []string
	for _, s := range e.Suspects {
		if len(s.Slips) > 0 {
			out = append(out, fmt.Sprintf("%s would fit as %s", s.ID, s.Slips[0].What))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "; " + strings.Join(out, ", or ") + " (a hint, not proof)"
}

func again(ids []string) string {
	if len(ids) == 0 {
		return "them all"
	}
	if len(ids) > 4 {
		ids = ids[:4]
	}
	return strings.Join(ids, ", ")
}

func (f *fitter) mark(mm float64) string {
	if math.IsNaN(mm) || math.Abs(mm) > length.Max.MM() {
		return "no length"
	}
	return f.tape.Format(length.FromMM(mm), length.Nearest)
}

func (f *fitter) closing(d *survey.Diagnosis) string {
	if d.Result == nil {
		return "no frame has these lengths"
	}
	worst := 0.0
	for _, r := range d.Result.Readings {
		worst = math.Max(worst, math.Abs(r.W))
	}
	return fmt.Sprintf("the misfit is %.1f times its expected spread; a fit this poor comes by chance in %s", worst, chance(d.Result.Global.P))
}

func chance(p float64) string {
	switch {
	case p < 1e-6:
		return "less than one case in a million"
	case p < 0.5:
		return fmt.Sprintf("one case in %.0f", 1/p)
	}
	return "most cases"
}

func (f *fitter) hints(ss []survey.Suspect) []string {
	var out []string
	for _, s := range ss {
		out = append(out, fmt.Sprintf("%s would be off by %s%s", s.ID, f.mark(math.Abs(s.Misread)), slipText(s)))
	}
	return out
}

func slipText(s survey.Suspect) string {
	if len(s.Slips) == 0 {
		return ""
	}
	return " (as if by " + s.Slips[0].What + ": a hint, not proof)"
}

// square judges a four-cornered frame and says what would square it.
func (f *fitter) square(res *survey.Result, d *survey.Diagnosis) {
	if len(f.corners) != 4 {
		return
	}
	c := f.corners
	q, err := res.QuadOf(c[0], c[1], c[2], c[3])
	if err != nil {
		return
	}
	dist := q.Distances()
	sigma := f.model.Sigma((dist.AC + dist.BD) / 2)
	// Nobody can call a frame out of square by less than the tape can tell: twice
	// the standard deviation of a reading, and two divisions in any case.
	tolerance := math.Max(2*f.tape.Tick.MM(), 2*sigma)
	check := survey.JudgeSquare(dist, sigma, tolerance)
	shape := survey.ShapeOf(q)
	s := &Square{IsSquare: check.Verdict == survey.Square,
		Width: length.FromMM(shape.RectWidth), Height: length.FromMM(shape.RectHeight), Rack: length.FromMM(shape.Rack),
		TaperEave: length.FromMM(shape.TopWider), TaperSide: length.FromMM(shape.RightHigher)}
	if sd, err := res.ShapeSD(c[0], c[1], c[2], c[3]); err == nil && d.Verdict != survey.Noticed {
		s.RackSDMM = sd.Rack
	}
	if push, err := survey.PushSquare(q); err == nil && check.Verdict != survey.Square {
		s.Push = f.push(push)
	}
	if edges := survey.EdgesOf(q[:], math.Atan2(q[1].Y-q[0].Y, q[1].X-q[0].X)); len(edges) == 4 {
		for i := range edges {
			edges[i].Weight = float64(i % 2) // the verges count, eave and head do not
		}
		s.DatumMrad = 1000 * survey.GridDirection(edges).Theta
	}
	s.Verdict = f.squareText(s, check)
	f.out.Square = s
	if !s.IsSquare {
		f.say(finding.Note, "survey.not-square", "", s.Verdict, f.squareWhy(s), f.squareDo(s))
	}
}

func (f *fitter) push(p survey.Push) *Push {
	out := &Push{Target: length.FromMM(p.Target), Move: length.FromMM(math.Max(math.Abs(p.MoveC), math.Abs(p.MoveD)))}
	for i, name := range p.Together { // the package names its corners A to D
		out.Corners[i] = f.corners[int(name[0]-'A')]
	}
	for _, a := range p.Angles {
		out.Left = math.Max(out.Left, math.Abs(a*180/math.Pi-90))
	}
	return out
}

func (f *fitter) squareText(s *Square, check survey.SquareCheck) string {
	switch check.Verdict {
	case survey.Square:
		return "square within what this tape can tell: opposite sides and diagonals agree"
	case survey.Racked:
		return "leans " + f.lean(s) + "; opposite sides agree, so it can be pushed square"
	case survey.Tapered:
		return "the diagonals agree but opposite sides do not: a taper, which pushing cannot remove"
	case survey.RackedAndTapered:
		return "leans " + f.lean(s) + " and tapers"
	}
	return "too little was measured to say"
}

func (f *fitter) lean(s *Square) string {
	dir := "right"
	if s.Rack < 0 {
		dir = "left"
	}
	return f.tape.Format(s.Rack.Abs(), length.Nearest) + " to the " + dir + ", eave to head"
}

func (f *fitter) squareWhy(s *Square) string {
	return fmt.Sprintf("head %s than eave by %s, right side %s than left by %s", longer(s.TaperEave), f.tape.Format(s.TaperEave.Abs(), length.Nearest),
		longer(s.TaperSide), f.tape.Format(s.TaperSide.Abs(), length.Nearest))
}

func longer(l length.Length) string {
	if l < 0 {
		return "shorter"
	}
	return "longer"
}

func (f *fitter) squareDo(s *Square) string {
	if s.Push == nil || s.Push.Move < f.tape.Tick {
		return "leave it: the set-out below follows the frame as it is"
	}
	return fmt.Sprintf("to square it, push %s and %s together until both diagonals read %s (the head moves %s), brace and measure again; or leave it: a string that leans %s over the height shares the taper of both verges, and the set-out below follows the frame as it is",
		s.Push.Corners[0], s.Push.Corners[1], f.tape.Format(s.Push.Target, length.Nearest), f.tape.Format(s.Push.Move, length.Nearest),
		f.tape.Format(length.FromMM(math.Abs(s.DatumMrad)/1000*s.Height.MM()), length.Nearest))
}

// next names the readings worth taking, best first.
func (f *fitter) next(res *survey.Result, d *survey.Diagnosis) {
	if len(f.corners) > 12 || len(f.plane.Crossing) > 0 {
		return
	}
	placed := res.Placed()
	if len(f.corners) == 4 && d.Result != nil {
		if opts, err := survey.QuadOptions(placed, f.model.Sigma, markSD, stringSD); err == nil {
			for _, o := range opts[:min(3, len(opts))] {
				f.out.Next = append(f.out.Next, Tie{What: o.Name, Why: fmt.Sprintf("a misread of %s would then be noticed in every reading", f.mark(o.SixMaxMDB))})
			}
			return
		}
	}
	sugs, err := survey.NextTies(placed, survey.Candidates(placed, f.model.Sigma, markSD))
	if err != nil {
		return
	}
	for _, s := range sugs[:min(3, len(sugs))] {
		f.out.Next = append(f.out.Next, Tie{What: s.Name, Why: fmt.Sprintf("a misread of %s would then be noticed in every reading", f.mark(s.Quality.WorstMDB))})
	}
}
