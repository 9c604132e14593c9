// Package exports writes a plan in open formats for other programs: CSV and an
// OOXML workbook with live totals, glTF 2.0 and IFC4 models, the plan as JSON,
// and one archive that holds them with every paper and drawing.
//
// It computes nothing a stage has computed: it reads the plan, and of the job
// only what the plan does not carry, the sections and heights of the frame. It
// is pure: the same plan, job and options give the same bytes.
package exports

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"seamwright/engine/finding"
	"seamwright/engine/job"
	"seamwright/engine/plan"
	"seamwright/engine/sequence"
	"seamwright/papers"
)

// The names of the files that All makes beside the papers and drawings.
const (
	ReadFirst = "read-first.txt"
	PlanFile  = "plan.json"
	OrderFile = "order.csv"
	CutsFile  = "cuts.csv"
	MarksFile = "marks.csv"
	QuoteFile = "quote.csv"
	BookFile  = "lists.xlsx"
	ModelFile = "roof.glb"
	IFCFile   = "roof.ifc"
)

// All makes every export of a plan: the lists, the workbook, the models, the
// plan itself, every paper and drawing, and a text that says what each file is.
// Where the plan holds no pieces the lists and models are left out.
func All(p plan.Plan, j job.Job, o papers.Options) ([]papers.File, error) {
	made, err := papers.All(p, o)
	if err != nil {
		return nil, err
	}
	data, err := Data(p, j, o)
	if err != nil {
		return nil, err
	}
	files := append(data, made...)
	return append([]papers.File{{Name: ReadFirst, Bytes: contents(p, j, files)}}, files...), nil
}

// Data makes the exports without papers and drawings.
func Data(p plan.Plan, j job.Job, o papers.Options) ([]papers.File, error) {
	var out []papers.File
	for _, f := range []struct {
		name   string
		always bool
		make   func() ([]byte, error)
	}{
		{PlanFile, true, func() ([]byte, error) { return PlanJSON(p) }},
		{OrderFile, false, func() ([]byte, error) { return OrderCSV(p) }},
		{CutsFile, false, func() ([]byte, error) { return CutsCSV(p) }},
		{MarksFile, false, func() ([]byte, error) { return MarksCSV(p) }},
		{QuoteFile, false, func() ([]byte, error) { return QuoteCSV(p) }},
		{BookFile, false, func() ([]byte, error) { return Book(p, o) }},
		{ModelFile, false, func() ([]byte, error) { return GLB(p, j) }},
		{IFCFile, false, func() ([]byte, error) { return IFC(p, j, o) }},
	} {
		if !f.always && len(p.Count.Pieces) == 0 {
			continue
		}
		b, err := f.make()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.name, err)
		}
		out = append(out, papers.File{Name: f.name, Bytes: b})
	}
	return out, nil
}

// PlanJSON writes the whole plan as indented JSON.
func PlanJSON(p plan.Plan) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetIndent("", " ")
	e.SetEscapeHTML(false)
	err := e.Encode(p)
	return b.Bytes(), err
}

// earliest is the first moment a zip file can name (MS-DOS time).
var earliest = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// Zip packs files in the order given, every one with the same date; the first
// date a zip file can name if it is zero.
func Zip(files []papers.File, date time.Time) ([]byte, error) {
	if date.Before(earliest) {
		date = earliest
	}
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, f := range files {
		h := &zip.FileHeader{Name: f.Name, Method: zip.Deflate, Modified: date.UTC()}
		h.SetMode(0o644)
		to, err := w.CreateHeader(h)
		if err != nil {
			return nil, err
		}
		if _, err := to.Write(f.Bytes); err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return b.Bytes(), err
}

// about says what a file is.
func about(name string) string {
	known := map[string]string{
		PlanFile: "the whole plan for other programs", OrderFile: "what to buy", CutsFile: "every piece and where it is cut",
		MarksFile: "the running marks of every purlin", QuoteFile: "every line of the price; the amounts add up to the total, tax included",
		BookFile:  "the lists as a workbook whose totals follow a changed quantity; it shows margin and rates: for the firm, not the customer",
		ModelFile: "3D model, glTF 2.0, metres", IFCFile: "building model, IFC4, millimetres",
		"site-sheet.pdf": "paper for the crew on the roof", "yard-sheet.pdf": "paper for the saw, with labels",
		"calculation-report.pdf": "paper with loads and checks, each with its source",
	}
	if s, ok := known[name]; ok {
		return s
	}
	if strings.HasSuffix(name, ".pdf") {
		return "paper"
	}
	return "drawing"
}

// contents is the text that goes with the files: what each one is, and what a
// reader must know before using any.
func contents(p plan.Plan, j job.Job, files []papers.File) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", p.Job.Name)
	if p.Job.Number != "" {
		fmt.Fprintf(&b, "job %s\n", p.Job.Number)
	}
	fmt.Fprintf(&b, "plan %s\n\n", papers.Hash(p))
	if finding.HasStop(p.Findings) {
		fmt.Fprint(&b, "THIS PLAN HOLDS A STOP: do not order, cut or build from these files.\n\n")
	}
	for _, f := range files {
		fmt.Fprintf(&b, "%-24s %s\n", f.Name, about(f.Name))
	}
	section := func(title string, lines []string) {
		if len(lines) > 0 {
			fmt.Fprintf(&b, "\n%s\n- %s\n", title, strings.Join(lines, "\n- "))
		}
	}
	var found []string
	for _, f := range p.Findings {
		found = append(found, findingLine(f))
	}
	section("Findings", found)
	section("Assumed", p.Assumed)
	section("Not checked: local code and a licensed professional decide", p.NotChecked)
	if len(p.Count.Pieces) > 0 {
		section("The models", modelNotes(newModel(p, j)))
	}
	section("Cautions", sequence.Cautions())
	return []byte(b.String())
}

func findingLine(f finding.Finding) string {
	parts := []string{f.Level.String() + ":"}
	for _, s := range []string{f.Plane, f.Where} {
		if s != "" {
			parts = append(parts, s+":")
		}
	}
	line := strings.Join(append(parts, f.What), " ")
	for _, s := range []string{f.Why, f.Do} {
		if s != "" {
			first, rest := utf8.DecodeRuneInString(s)
			line += ". " + string(unicode.ToUpper(first)) + s[rest:]
		}
	}
	return line
}
