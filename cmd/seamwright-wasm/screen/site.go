package screen

import (
	"fmt"

	"seamwright/engine/job"
)

// standards are the ones a site may be judged by.
var standards = []string{"ASCE 7-22", "ASCE 7-16", "EN"}

// siteFields are the lines for wind, snow and timber. Nothing is filled in for
// the person: a value that is not written is not there.
func (v *viewer) siteFields(given job.Job) {
	s := given.Site
	f := Field{ID: "standard", Name: "Judged by", Help: "the standard and edition adopted where the roof stands", Kind: "choice"}
	for _, w := range standards {
		e := setText(w, "site", "standard")
		f.Acts = append(f.Acts, Act{Name: w, On: s != nil && s.Standard == w, Edits: []Edit{e}})
	}
	if s != nil {
		f.Acts = append(f.Acts, Act{Name: "leave out", Edits: []Edit{remove("site")}})
	}
	out := []Field{f}
	if s != nil {
		out = append(out, v.heightFields(s)...)
		out = append(out, windFields(s)...)
		out = append(out, snowFields(s)...)
		out = append(out, liveField(s))
		out = append(out, v.timberFields(given, s)...)
	}
	v.out.Fields = out
}

func (v *viewer) heightFields(s *job.Site) []Field {
	h := ""
	if s.MeanHeight != nil {
		h = v.board.format(*s.MeanHeight)
	}
	b := ""
	if s.Blockage != nil {
		b = marshalled(s.Blockage)
	}
	return []Field{text("mean-height", "Mean height of the roof", "above the ground", h, "site", "mean_roof_height"),
		text("blockage", "Blocked beneath", "share of the space beneath that goods, cars or screens may ever fill, 50 %; the worst is taken if left out", b, "site", "blockage"),
		{ID: "risk", Name: "Risk category", Kind: "choice", Acts: choices(s.Risk, "", []string{"I", "II", "III", "IV"}, "site", "risk")}}
}

func marshalled(x interface{ MarshalText() ([]byte, error) }) string {
	b, err := x.MarshalText()
	if err != nil {
		return ""
	}
	return string(b)
}

func windFields(s *job.Site) []Field {
	kind, help := "3-second gust, ultimate", "basic wind speed of the map, 3-second gust, ultimate: 115 mph"
	if s.Standard == "EN" {
		kind, help = "10-minute mean, 50 years", "basic wind velocity of the map, 10-minute mean in 50 years: 24 m/s"
	}
	f := text("wind", "Wind", help, "", "site", "wind", "speed")
	if s.Wind == nil {
		f.With = []Edit{setText(kind, "site", "wind", "kind")}
		return []Field{f}
	}
	w := s.Wind
	f.Value = marshalled(w.Speed)
	out := []Field{f}
	if s.Standard == "EN" {
		out = append(out, Field{ID: "terrain", Name: "Terrain category", Kind: "choice", Acts: choices(w.Terrain, "", []string{"0", "I", "II", "III", "IV"}, "site", "wind", "terrain")})
		out = append(out, Field{ID: "annex", Name: "National values", Kind: "choice", Acts: []Act{{Name: "recommended values", On: w.Annex != nil && w.Annex.Name == "recommended values", Edits: []Edit{setText("recommended values", "site", "wind", "annex", "name")}}}})
	} else {
		out = append(out, Field{ID: "exposure", Name: "Exposure", Kind: "choice", Acts: choices(w.Exposure, "", []string{"B", "C", "D"}, "site", "wind", "exposure")})
	}
	return append(out, Field{ID: "topography", Name: "Ground around", Help: "flat if the site is on no ridge, escarpment or hill; hills are written in the job file", Kind: "choice", Acts: choices(w.Topography, "", []string{"flat"}, "site", "wind", "topography")},
		text("wind-source", "Wind read from", "map, database or authority, and date", w.Source, "site", "wind", "source"))
}

func snowFields(s *job.Site) []Field {
	f := text("snow", "Ground snow", fmt.Sprintf("from the map of %s: 25 psf, or 1.2 kN/m2", s.Standard), "", "site", "snow", "ground")
	if s.Snow == nil {
		f.With = []Edit{setText(s.Standard, "site", "snow", "edition")}
		return []Field{f}
	}
	n := s.Snow
	f.Value = marshalled(n.Ground)
	out := []Field{f}
	switch s.Standard {
	case "EN":
		out = append(out, Field{ID: "snow-top", Name: "Snow, ground around", Kind: "choice", Acts: choices(n.Topography, "", []string{"windswept", "normal", "sheltered"}, "site", "snow", "topography")},
			Field{ID: "snow-annex", Name: "Snow, national values", Kind: "choice", Acts: choices(n.Annex, "", []string{"recommended values", "DIN EN 1991-1-3/NA"}, "site", "snow", "annex")})
	default:
		out = append(out, Field{ID: "snow-terrain", Name: "Snow, roughness around", Kind: "choice", Acts: choices(n.Terrain, "", []string{"B", "C", "D"}, "site", "snow", "terrain")},
			Field{ID: "shelter", Name: "Snow, the roof itself", Kind: "choice", Acts: choices(n.Shelter, "", []string{"fully exposed", "partially exposed", "sheltered"}, "site", "snow", "shelter")})
	}
	if s.Standard == "ASCE 7-22" {
		w := ""
		if n.Winter != 0 {
			w = fmt.Sprint(n.Winter)
		}
		x := text("winter", "Winter wind W2", "0.25 to 0.65, from the map", w, "site", "snow", "winter_wind")
		x.Kind = "number"
		out = append(out, x)
	}
	return out
}

func liveField(s *job.Site) Field {
	have := ""
	if s.Live != nil {
		have = s.Live.Rule
	}
	rules := []string{"patio cover appendix", "ordinary roof"}
	if s.Standard == "EN" {
		rules = []string{"EN 1991-1-1 category H"}
	}
	return Field{ID: "live", Name: "Roof live load by", Kind: "choice", Acts: choices(have, "", rules, "site", "live", "rule")}
}

func (v *viewer) timberFields(j job.Job, s *job.Site) []Field {
	grade, dry, class := "", false, 0
	if j.Timber != nil {
		grade, dry, class = j.Timber.Grade, j.Timber.Dry, j.Timber.ServiceClass
	}
	depth := ""
	if d := j.Planes[v.req.Plane].Purlins.Depth; d != nil {
		depth = v.board.format(*d)
	}
	out := []Field{text("grade", "Timber", "species and grade (Douglas Fir-Larch No.2) or strength class (C24)", grade, "timber", "grade"),
		text("purlin-depth", "Purlin depth", "", depth, v.board.path("purlins", "depth")...)}
	if s.Standard == "EN" {
		x := text("service", "Service class", "1 to 3", "", "timber", "service_class")
		x.Kind = "number"
		if class != 0 {
			x.Value = fmt.Sprint(class)
		}
		return append(out, x)
	}
	return append(out, Field{ID: "dry", Name: "Wood stays", Help: "dry: below 19 % moisture in service; an open frame is taken as wet", Kind: "choice",
		Acts: []Act{{Name: "wet", On: !dry, Edits: []Edit{remove("timber", "dry")}}, {Name: "dry", On: dry, Edits: []Edit{{Path: []string{"timber", "dry"}, Value: "true"}}}}})
}
