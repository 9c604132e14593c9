package screen

import (
	"encoding/json"
	"strings"

	"seamwright/engine/fileform"
	"seamwright/engine/job"
	"seamwright/engine/plan"
	"seamwright/engine/quantity"
)

func quote(s string) string {
	b, err := json.Marshal(s)
	if err != nil {
		return `""`
	}
	return string(b)
}

func setText(value string, path ...string) Edit { return Edit{Path: path, Value: quote(value)} }
func remove(path ...string) Edit                { return Edit{Path: path, Remove: true} }

// text is a line of free text of the job.
func text(id, name, help, value string, path ...string) Field {
	return Field{ID: id, Name: name, Help: help, Kind: "text", Value: value, Path: path}
}

func (v *viewer) measureFields() {
	j := v.job
	v.out.Fields = []Field{
		text("name", "Job", "", j.Name, "name"),
		text("customer", "For", "", j.Customer, "customer"),
		v.unitField(),
		v.tapeField(),
		{ID: "care", Name: "Held", Help: "how well corners are defined and the tape is held", Kind: "choice", Acts: choices(j.Tape.Care, "normal", []string{"careful", "normal", "rough"}, "tape", "care")},
	}
}

// choices offers words for one value; the one in force is marked.
func choices(have, otherwise string, words []string, path ...string) []Act {
	if have == "" {
		have = otherwise
	}
	var out []Act
	for _, w := range words {
		out = append(out, Act{Name: w, On: w == have, Edits: []Edit{setText(w, path...)}})
	}
	return out
}

// unitField rewrites the whole job in the other unit, so that a bare number in
// an imported file keeps its meaning.
func (v *viewer) unitField() Field {
	f := Field{ID: "units", Name: "Tape in", Kind: "choice"}
	for _, u := range []struct{ name, units, paper string }{{"feet and inches", "inch", "Letter"}, {"millimetres", "mm", "A4"}} {
		j := v.given
		a := Act{Name: u.name, On: j.Units == u.units}
		if !a.On {
			j.Units, j.Tape.Tick = u.units, ""
			doc := string(fileform.WriteJSON(j))
			if _, _, ok := read(doc); ok {
				a.Edits = []Edit{{Path: []string{}, Value: doc}}
			}
		}
		if a.On || a.Edits != nil {
			f.Acts = append(f.Acts, a)
		}
	}
	return f
}

func (v *viewer) tapeField() Field {
	ticks, otherwise := []string{"1/16", "1/32"}, "1/16"
	if v.job.Units != "inch" {
		ticks, otherwise = []string{"1 mm", "0.5 mm"}, "1 mm"
	}
	return Field{ID: "tick", Name: "Read to", Help: "smallest division that is read", Kind: "choice", Acts: choices(v.job.Tape.Tick, otherwise, ticks, "tape", "tick")}
}

func (v *viewer) roofFields() {
	p := v.board.in
	at := v.board.path
	v.out.Fields = []Field{v.slopeField(p), v.systemField(), v.tintField(),
		text("fascia", "Fascia or gutter", "from the frame face at the eave out to the outermost fascia or gutter", v.optional(p.Fascia != 0, v.board.format(p.Fascia)), at("fascia")...),
		{ID: "start", Name: "Laying begins", Kind: "choice", Acts: choices(v.job.Wishes.Start, "auto", []string{"auto", "left", "right", "middle"}, "wishes", "start")},
	}
	if p.Purlins.Width != nil {
		v.out.Fields = append(v.out.Fields, text("purlin-width", "Purlin top", "width of the top face", v.board.format(*p.Purlins.Width), at("purlins", "width")...))
	} else {
		v.out.Fields = append(v.out.Fields, text("purlin-width", "Purlin top", "width of the top face", "", at("purlins", "width")...))
	}
}

func (v *viewer) optional(there bool, s string) string {
	if there {
		return s
	}
	return ""
}

func (v *viewer) slopeField(p job.Plane) Field {
	f := Field{ID: "slope", Name: "Falls", Help: "1 in 12, 5 deg, or the height of each corner on the drawing", Kind: "choice"}
	have := ""
	if p.Slope != nil {
		b, _ := p.Slope.MarshalText()
		have = string(b)
	}
	words := []string{"1 in 12", "2 in 12", "3 in 12", "4 in 12"}
	if v.job.Units != "inch" {
		words = []string{"3 deg", "5 deg", "8 deg", "10 deg"}
	}
	known := false
	for _, w := range words {
		var s quantity.Slope
		on := s.UnmarshalText([]byte(w)) == nil && p.Slope != nil && abs(s.Degrees()-p.Slope.Degrees()) < 1e-6
		known = known || on
		f.Acts = append(f.Acts, Act{Name: w, On: on, Edits: []Edit{setText(w, v.board.path("slope")...)}})
	}
	if have != "" && !known {
		f.Value = have
	}
	if len(p.Heights) > 0 {
		f.Help = "worked out from the corner heights if none is chosen"
	}
	if have != "" {
		f.Acts = append(f.Acts, Act{Name: "rub out", Edits: []Edit{remove(v.board.path("slope")...)}})
	}
	f.Path = v.board.path("slope")
	return f
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

func (v *viewer) systemField() Field {
	f := Field{ID: "system", Name: "Panel", Kind: "choice"}
	for _, s := range v.set.Systems {
		edits := []Edit{setText(s.Name, "system")}
		if !sells(s.Tints, v.job.Tint) && v.job.Tint != "" {
			edits = append(edits, remove("tint"))
		}
		f.Acts = append(f.Acts, Act{Name: s.Title, On: s.Name == v.job.System, Edits: edits})
		if s.Name == v.job.System {
			f.Help = s.Standing
		}
	}
	return f
}

func (v *viewer) tintField() Field {
	f := Field{ID: "tint", Name: "Tint", Kind: "choice"}
	for _, s := range v.set.Systems {
		if s.Name != v.job.System {
			continue
		}
		for i, t := range s.Tints {
			f.Acts = append(f.Acts, Act{Name: t.Name, On: t.Name == v.job.Tint || v.job.Tint == "" && i == 0, Edits: []Edit{setText(t.Name, "tint")}})
		}
	}
	return f
}

// Starters are the jobs a person may begin with: an empty roof, and the demo
// jobs given as text.
func Starters(demos map[string][]byte, order []string) []Starter {
	out := []Starter{
		{Name: "New roof, feet and inches", Doc: `{"seamwright":1,"name":"New roof","units":"inch","system":"twin8-600","planes":[{"name":"roof","tapes":{}}]}`},
		{Name: "New roof, millimetres", Doc: `{"seamwright":1,"name":"New roof","units":"mm","system":"twin10-1000","planes":[{"name":"roof","tapes":{}}]}`},
	}
	for _, name := range order {
		j, _, problems := fileform.ReadJob(name, demos[name])
		if !fileform.Refuses(problems) {
			out = append(out, Starter{Name: j.Name, Doc: string(fileform.WriteJSON(j)), Demo: true})
		}
	}
	return out
}

// Import reads a job file in any of its forms.
func Import(name, file string) (doc string, troubles []Trouble) {
	j, _, problems := fileform.ReadJob(name, []byte(file))
	for _, p := range problems {
		troubles = append(troubles, Trouble{Path: p.Path, Text: p.String(), Note: p.Note})
	}
	if fileform.Refuses(problems) {
		return "", troubles
	}
	return string(fileform.WriteJSON(j)), troubles
}

// Export writes a job as the file a person keeps: YAML.
func Export(doc string) (yaml string, troubles []Trouble) {
	j, troubles, ok := read(doc)
	if !ok {
		return "", troubles
	}
	return string(fileform.WriteYAML(j)), troubles
}

// Compared is the price of the same roof in one panel system.
type Compared struct {
	Title string `json:"title"`
	Total string `json:"total"`
	Now   bool   `json:"now"`
	Stops int    `json:"stops"`
	Acts  []Act  `json:"acts"`
}

// Range is what the roof costs in every system of the catalogue.
type Range struct {
	From string     `json:"from"`
	To   string     `json:"to"`
	All  []Compared `json:"all"`
}

// Compare prices the same roof in every system, with the tint first sold where
// the chosen one is not.
func (s *Screen) Compare(doc string) Range {
	var out Range
	j, _, ok := read(doc)
	if !ok {
		return out
	}
	var lo, hi plan.Plan
	for _, sys := range s.set.Systems {
		k := j
		k.System = sys.Name
		if sys.Name != j.System && !sells(sys.Tints, j.Tint) {
			k.Tint = ""
		}
		p := s.Plan(k)
		if p.Count.Panels == 0 {
			continue
		}
		c := Compared{Title: sys.Title, Total: cash(p.Quote.Currency, p.Quote.Sums.Total), Now: sys.Name == j.System}
		for _, f := range p.Findings {
			if f.Level.String() == "stop" {
				c.Stops++
			}
		}
		if !c.Now {
			c.Acts = []Act{{Name: "Take it", Edits: []Edit{setText(sys.Name, "system"), remove("tint")}}}
		}
		out.All = append(out.All, c)
		if out.From == "" || p.Quote.Sums.Total.Cmp(lo.Quote.Sums.Total) < 0 {
			lo, out.From = p, c.Total
		}
		if out.To == "" || p.Quote.Sums.Total.Cmp(hi.Quote.Sums.Total) > 0 {
			hi, out.To = p, c.Total
		}
	}
	return out
}

// ReadLength judges a typed or pasted length.
func ReadLength(typed, units string) (parts Parts, written, say, trouble string) {
	sys, tape := unitsOf(units)
	l, err := parseLength(typed, sys)
	if err != nil {
		return Parts{}, "", "", strings.TrimSpace(err.Error())
	}
	p := tape.Split(l, 0)
	return Parts{Set: true, Feet: int(p.Feet), Whole: int(p.Whole), Num: int(p.Numerator), Den: int(p.Denominator)}, tape.Format(l, 0), spoken(tape, l), ""
}
