// Package papers makes the papers of a plan: the site sheet and the yard sheet
// as PDF, and every drawing as SVG. It is pure: the same plan and options give
// the same bytes.
package papers

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"time"

	"seamwright/drawing/pdf"
	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets"
	"seamwright/drawing/sheets/words"
	"seamwright/drawing/svg"
	"seamwright/engine/finding"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/takeoff"
)

// Options are what a plan does not know. The zero value will do.
type Options struct {
	Version string    // of the job, printed on papers and labels; "1" if empty
	Issuer  string    // who issues the papers; the shop's name if empty
	Date    time.Time // of issue; left open if zero
	// Built is what was read and done since work began, by plane; it fills the as-built record.
	Built map[string]job.AsBuilt

	spoken bool   // the plan is in the language of the job already
	hash   string // of the whole plan, where a paper is made of a part of it or it is known already
}

func (o Options) version() string {
	if o.Version == "" {
		return "1"
	}
	return o.Version
}

func (o Options) hashOf(p plan.Plan) string {
	if o.hash != "" {
		return o.hash
	}
	return Hash(p)
}

// File is one finished file.
type File struct {
	Name  string
	Bytes []byte
}

// one is the quote of a single plan.
func one(p plan.Plan, o Options) ([]*scene.Sheet, error) {
	return Quote([]plan.Plan{p}, TermsOf(p), o)
}

// All makes every paper and drawing of a plan: quote.pdf, order.pdf, goods-in.pdf,
// yard-sheet.pdf, site-sheet.pdf, assembly.pdf, marks-1to1.pdf, as-built.pdf,
// care-and-maintenance.pdf, permit-set.pdf, calculation-report.pdf where the job has
// a site; and for each plane plan-NAME.svg, marks-NAME.svg, survey-NAME.svg; then
// section-eave.svg, detail-edge.svg, saw-panels.svg and its like, labels.svg.
// Drawings for which the plan holds nothing are left out.
func All(p plan.Plan, o Options) ([]File, error) {
	p, o = inLanguage(p, o)
	var out []File
	for _, f := range []struct {
		name  string
		title string
		make  func(plan.Plan, Options) ([]*scene.Sheet, error)
	}{{"quote.pdf", tx(p).QuoteTitle, one}, {"order.pdf", tx(p).SupplyTitle, Order}, {"goods-in.pdf", tx(p).GoodsTitle, GoodsIn}, {"yard-sheet.pdf", tx(p).YardTitle, Yard},
		{"site-sheet.pdf", tx(p).SiteTitle, Site}, {"assembly.pdf", tx(p).StageTitle, Assembly}, {"marks-1to1.pdf", tx(p).OneTitle, FullSize}, {"as-built.pdf", tx(p).BuiltTitle, AsBuilt},
		{"care-and-maintenance.pdf", tx(p).CareTitle, Care}, {"permit-set.pdf", tx(p).PermitTitle, Permit}, {"calculation-report.pdf", tx(p).CalcTitle, Calculation}} {
		made, err := f.make(p, o)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.name, err)
		}
		if len(made) == 0 {
			continue
		}
		b, err := PDF(p, o, f.title, made)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.name, err)
		}
		out = append(out, File{f.name, b})
	}
	for _, d := range Drawings(p, o) {
		var b bytes.Buffer
		if err := svg.Write(&b, d.Sheet, svg.Options{Letters: svg.Outlined, ID: d.Name}); err != nil {
			return nil, fmt.Errorf("%s.svg: %w", d.Name, err)
		}
		out = append(out, File{d.Name + ".svg", b.Bytes()})
	}
	return out, nil
}

// PDF writes sheets as one file.
func PDF(p plan.Plan, o Options, title string, made []*scene.Sheet) ([]byte, error) {
	var b bytes.Buffer
	opt := pdf.Options{Title: title + ", " + p.Job.Name, Author: issuer(p, o), Subject: sheets.JobTag(p), Lang: words.Lang(p.Job.Language), Date: o.Date}
	err := pdf.Write(&b, opt, made...)
	return b.Bytes(), err
}

// Drawing is one drawing on a sheet of its own, with a stable name.
type Drawing struct {
	Name  string
	Sheet *scene.Sheet
}

// Drawings makes every drawing of a plan.
func Drawings(p plan.Plan, o Options) []Drawing {
	var out []Drawing
	add := func(name string, s *scene.Sheet) { out = append(out, Drawing{name, s}) }
	used := map[string]bool{}
	for i := range p.Planes {
		slug := sheets.Slug(p.Planes[i].Frame.Plane)
		for k := 2; used[slug]; k++ {
			slug = fmt.Sprintf("%s-%d", sheets.Slug(p.Planes[i].Frame.Plane), k)
		}
		used[slug] = true
		add("plan-"+slug, sheets.Plan(p, i))
		if p.Planes[i].Layout != nil {
			add("marks-"+slug, sheets.Marks(p, i))
		}
		add("survey-"+slug, sheets.Survey(p, i))
	}
	if sheets.HasDetails(p) {
		add("section-eave", sheets.SectionEave(p))
		add("detail-edge", sheets.DetailEdge(p))
	}
	plural := map[string]string{takeoff.Panel: "panels", takeoff.Cap: "caps", takeoff.Channel: "channels", takeoff.Closure: "closures"}
	for _, k := range p.Saw.Kinds {
		add("saw-"+plural[k.Kind], sheets.Saw(p, k))
	}
	if len(p.Count.Pieces) > 0 {
		add("labels", sheets.Labels(p, o.version()))
	}
	return out
}

// tx is the texts in the language of the job.
func tx(p plan.Plan) *words.Table { return words.In(p.Job.Language) }

func issuer(p plan.Plan, o Options) string {
	if o.Issuer != "" {
		return o.Issuer
	}
	return p.Job.Shop
}

// newPaper begins a paper with the head and the title block of the job.
func newPaper(p plan.Plan, o Options, title, desc string) *flow.Paper {
	paper := flow.NewPaper(sheets.Size(p), title, p.Job.Name, fmt.Sprintf(tx(p).FmtJob, sheets.JobTag(p), o.version()))
	paper.Lang, paper.Desc = words.Lang(p.Job.Language), desc
	paper.PageText = func(n, of int) string { return fmt.Sprintf(tx(p).FmtPage, n, of) }
	hash := o.hashOf(p)
	paper.Block = func(n, of int) draft.TitleBlock { return titleBlock(p, o, title, hash, n, of) }
	return paper
}

func titleBlock(p plan.Plan, o Options, title, hash string, n, of int) draft.TitleBlock {
	or := func(s string) string {
		if s == "" {
			return tx(p).None
		}
		return s
	}
	date, state, unit := ".........", tx(p).IsOpen, "mm"
	if !o.Date.IsZero() {
		date = o.Date.Format("2006-01-02")
	}
	switch title { // papers that nobody marks or saws by
	case tx(p).SupplyTitle, tx(p).GoodsTitle, tx(p).CareTitle, tx(p).BuiltTitle, tx(p).PermitTitle, tx(p).CalcTitle:
		state = tx(p).IsIssued
	}
	if finding.HasStop(p.Findings) {
		state = tx(p).IsStopped
	}
	if t := p.Job.Tape; t.Inches {
		unit = fmt.Sprintf(tx(p).Inches, t.Plain(t.Tick, length.Nearest))
	}
	return draft.TitleBlock{
		{{Label: tx(p).IssuedBy, Text: or(issuer(p, o))}, {Label: tx(p).JobWord, Text: sheets.JobTag(p)}, {Label: tx(p).DocType, Text: title}, {Label: tx(p).ScaleWord, Text: tx(p).AsNoted}, {Label: tx(p).VersionWord, Text: o.version()}},
		{{Label: tx(p).Customer, Text: or(p.Job.Customer)}, {Label: tx(p).TitleWord, Text: p.Job.Name}, {Label: tx(p).DateWord, Text: date}, {Label: tx(p).PaperWord, Text: fmt.Sprintf(tx(p).FmtPrint, sheets.Size(p).Name)}, {Label: tx(p).PageWord, Text: fmt.Sprintf(tx(p).FmtOf, n, of)}},
		{{Label: tx(p).SiteWord, Text: or(p.Job.Address)}, {Label: tx(p).PlanHash, Text: hash}, {Label: tx(p).CheckedBy, Text: tx(p).ByTool}, {Label: tx(p).Units, Text: unit}, {Label: tx(p).Status, Text: state}},
	}
}

// Hash names the content of a plan by eight digits: papers of the same plan
// carry the same.
func Hash(p plan.Plan) string {
	b, err := json.Marshal(p)
	if err != nil {
		return tx(p).None
	}
	sum := sha256.Sum256(b)
	text := hex.EncodeToString(sum[:4])
	return text[:4] + " " + text[4:]
}

var (
	broken  = regexp.MustCompile(`(\d) (\d+/\d+)`)
	withMM  = regexp.MustCompile(`(\d) (mm|in|ft|m|°C|mph|m/s)\b`)
	quarter = regexp.MustCompile(`(\d)"`)
)

// prose keeps a measure together when its line is broken: 22 15/16" becomes
// 22-15/16″, and a number never parts from its unit.
func prose(s string) string {
	s = strings.ReplaceAll(s, "\n", "; ")
	s = broken.ReplaceAllString(s, "$1-$2")
	s = quarter.ReplaceAllString(s, "$1″")
	return withMM.ReplaceAllString(s, "$1\u00a0$2")
}
