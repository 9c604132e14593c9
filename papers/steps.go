package papers

import (
	"fmt"
	"regexp"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets/words"
	"seamwright/engine/sequence"
)

// entry is one place in the order of work: a step in full, or a row of steps
// that repeat the ones before it.
type entry struct {
	step       sequence.Step
	several    bool
	row        []sequence.Step // up to two
	like       []string        // ids of the steps whose words are meant
	head, foot bool            // first and last of its rows
}

// repeats are the rows of steps that are like those with the given ids.
func repeats(steps []sequence.Step, like []string) []entry {
	var out []entry
	for k := 0; k < len(steps); k += 2 {
		out = append(out, entry{row: steps[k:min(k+2, len(steps))], like: like, head: k == 0, foot: k+2 >= len(steps)})
	}
	return out
}

var (
	names    = regexp.MustCompile(`\b[PSCEK]\d+\b`)
	measures = regexp.MustCompile(`\d+( \d+/\d+)?(/\d+)?(\.\d+)?( mm|")`)
)

// shapeOf is a step without the names and lengths in it: counts, hands and all
// words stay.
func shapeOf(s sequence.Step) string {
	text := s.Phase + "|" + s.Plane + "|" + s.Title + "|" + s.Text
	return measures.ReplaceAllString(names.ReplaceAllString(text, "#"), "#")
}

// leastRepeats is how often a pattern must come again before it is condensed.
const leastRepeats = 2

// condense writes steps that come over and over in the same words once, and
// then only what is done: ids and titles. Nothing is left out.
func condense(steps []sequence.Step, several bool) []entry {
	var out []entry
	printed := map[string]string{} // shape of a step printed in full, and its id
	for i := 0; i < len(steps); {
		period, times := pattern(steps[i:])
		if known(printed, steps[i:], period) && times > 0 {
			var like []string
			for j := range period {
				like = append(like, printed[shapeOf(steps[i+j])])
			}
			out = append(out, repeats(steps[i:i+(times+1)*period], like)...)
			i += (times + 1) * period
			continue
		}
		if times < leastRepeats {
			out = append(out, entry{step: steps[i], several: several})
			printed[shapeOf(steps[i])] = steps[i].ID
			i++
			continue
		}
		var like []string
		for j := range period {
			out = append(out, entry{step: steps[i+j], several: several})
			printed[shapeOf(steps[i+j])] = steps[i+j].ID
			like = append(like, steps[i+j].ID)
		}
		out = append(out, repeats(steps[i+period:i+(times+1)*period], like)...)
		i += (times + 1) * period
	}
	return out
}

// known reports that the first steps were printed in the same words before.
func known(printed map[string]string, steps []sequence.Step, period int) bool {
	for j := range period {
		if printed[shapeOf(steps[j])] == "" {
			return false
		}
	}
	return period > 0
}

// pattern finds how often the first one or two steps come again right after.
func pattern(steps []sequence.Step) (period, times int) {
	for _, t := range []int{2, 1} {
		if len(steps) < t || steps[0].Hold {
			continue
		}
		n := 0
		for (n+2)*t <= len(steps) && same(steps[:t], steps[(n+1)*t:(n+2)*t]) {
			n++
		}
		if n > times {
			period, times = t, n
		}
	}
	return period, times
}

func same(a, b []sequence.Step) bool {
	for i := range a {
		if b[i].Hold || shapeOf(a[i]) != shapeOf(b[i]) {
			return false
		}
	}
	return true
}

// number is the number of a step: in a ring, or in a box if it is long.
func number(at scene.Pt, id string) []scene.Item {
	if len(id) > 2 {
		return draft.Tag(at, id)
	}
	return draft.Ring(at, id)
}

// set writes the entry into a column.
func (e entry) set(c *flow.Column, say *words.Table) {
	if len(e.row) == 0 {
		s := e.step
		title := s.Title
		if e.several && s.Plane != "" {
			title = s.Plane + ": " + title
		}
		sign := func(at scene.Pt) []scene.Item { return number(at, s.ID) }
		if s.Hold {
			sign = func(at scene.Pt) []scene.Item { return draft.Hold(at, s.ID) }
		}
		c.Signed(sign, prose("**"+title+".** "+s.Text))
		return
	}
	if e.head {
		c.Drawing(4.4, func(a scene.Rect) []scene.Item {
			return scene.Items(scene.T(a.X+7.2, a.Y+2.8, scene.Body, fmt.Sprintf(say.FmtSame, strings.Join(e.like, ", "))))
		})
	}
	c.Drawing(5.6, func(a scene.Rect) []scene.Item {
		var out []scene.Item
		w := a.W / 2
		for k, s := range e.row {
			x := a.X + w*float64(k)
			out = append(out, number(scene.P(x+3.1, a.Y+2.8), s.ID)...)
			st, text := scene.Shorten(scene.Body.Bold(), w-14, s.Title)
			out = append(out, scene.T(x+7.2, a.Y+2.8, st, text).Amid())
			out = append(out, draft.TickBox(x+w-6, a.Y+1.2, 3.2, false)...)
		}
		return out
	})
	if e.foot {
		c.Space(1)
	}
}
