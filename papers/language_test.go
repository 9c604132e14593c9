package papers

import (
	"regexp"
	"strings"
	"testing"

	"seamwright/drawing/sheets/words"
	"seamwright/engine/plan"
)

// germanPlans are the examples with German papers.
func germanPlans(t testing.TB) map[string]plan.Plan {
	out := examplePlans(t)
	for name, p := range out {
		p.Job.Language = words.German
		out[name] = p
	}
	return out
}

// A crew that reads German must be able to work from the sheet: every step,
// caution and list of the engine has its translation.
func TestOrderOfWorkIsGerman(t *testing.T) {
	for name, p := range germanPlans(t) {
		q, _ := inLanguage(p, Options{})
		same := func(what, a, b string) {
			if a == b && strings.Contains(a, " ") {
				t.Errorf("%s: %s is not translated: %q", name, what, a)
			}
		}
		for i, s := range p.Sequence.Steps {
			same("title of step "+s.ID, s.Title, q.Sequence.Steps[i].Title)
			same("step "+s.ID, s.Text, q.Sequence.Steps[i].Text)
		}
		for _, x := range [][2][]string{{p.Sequence.Weather, q.Sequence.Weather}, {p.Sequence.Cautions, q.Sequence.Cautions}, {p.Sequence.Van, q.Sequence.Van}, {p.Sequence.Inputs, q.Sequence.Inputs}} {
			for i := range x[0] {
				same("list", x[0][i], x[1][i])
			}
		}
	}
}

// english are words that have no business on a German paper; names of products
// and of the job, findings and what was not checked come with the data.
var english = regexp.MustCompile(`(?i)\b(the|and|with|panels|panel|seams|purlin|purlins|sheet|before|after|from|every|each|left|right|clips on|read|ripped|eave|verge|screws|checked|step)\b`)

func TestNoEnglishOnGermanPapers(t *testing.T) {
	for name, p := range germanPlans(t) {
		p.Findings, p.NotChecked, p.Assumed = nil, nil, nil
		p.Job.Name, p.Job.Shop = "Auftrag", "Betrieb"
		p.System.Title, p.System.Standing = "System", "erfunden"
		data := map[string]bool{}
		for _, k := range p.Saw.Kinds {
			data[k.Name] = true
		}
		for _, k := range p.Count.Parts {
			data[k.Name] = true
		}
		for _, k := range p.Count.Tapes {
			data[k.Name] = true
		}
		for _, kind := range []string{"site", "yard", "goods", "care", "built", "assembly", "tiles", "order", "quote"} {
			made, err := makers[kind](p, Options{})
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range made {
				for _, text := range texts(s) {
					for d := range data {
						text = strings.ReplaceAll(text, prose(d), "")
						text = strings.ReplaceAll(text, d, "")
					}
					if m := english.FindString(text); m != "" && !fromData(text, p) {
						t.Errorf("%s, %s: %q in %q", name, kind, m, text)
					}
				}
			}
		}
	}
}

// fromData reports that a line is a broken part of a name in the catalogue.
func fromData(text string, p plan.Plan) bool {
	var all strings.Builder
	for _, k := range p.Saw.Kinds {
		all.WriteString(" " + prose(k.Name))
	}
	for _, k := range p.Count.Parts {
		all.WriteString(" " + prose(k.Name))
	}
	for _, k := range p.Count.Tapes {
		all.WriteString(" " + prose(k.Name))
	}
	for _, w := range strings.Fields(text) {
		if english.MatchString(w) && !strings.Contains(all.String(), strings.Trim(w, ".,;")) {
			return false
		}
	}
	return true
}

// Longer words must not push letters together: every German paper of every
// example. The English ones are looked at by TestExamplesAreLegible.
func TestGermanExamplesAreLegible(t *testing.T) {
	for name, p := range germanPlans(t) {
		for kind := range makers {
			legible(t, name, p, kind)
		}
	}
}

// The site sheet is carried up a ladder: four pages a plane and no more, with
// every panel named on it.
func TestSiteSheetIsShort(t *testing.T) {
	for name, p := range examplePlans(t) {
		made, err := Site(p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if planes := max(1, len(p.Planes)); len(made) > 4*planes {
			t.Errorf("%s: %d pages for %d planes", name, len(made), planes)
		}
		var first []string
		for _, s := range made {
			first = append(first, texts(s)...)
		}
		said := strings.Join(first, "\n")
		for _, pl := range p.Planes {
			if pl.Layout == nil {
				continue
			}
			for _, q := range pl.Layout.Panels {
				if !regexp.MustCompile(`(?m)^` + q.ID + `\b`).MatchString(said) {
					t.Errorf("%s: %s stands on no page", name, q.ID)
				}
			}
		}
	}
}
