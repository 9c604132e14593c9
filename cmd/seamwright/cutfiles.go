package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"path/filepath"
	"strconv"

	"seamwright/drawing/pdf"
	"seamwright/drawing/sawday"
	"seamwright/drawing/scene"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/svg"
	"seamwright/engine/catalogue"
	"seamwright/engine/depot"
	"seamwright/engine/fileform"
	"seamwright/engine/length"
)

// mostDrawn is the number of bars up to which they are drawn; a paper of
// thousands of pages helps nobody.
const mostDrawn = 3000

// write puts the saw diagrams of an instance on disk.
func (v *plainView) write(dir string, s streams) error {
	if err := drawable(len(v.result.Bars)); err != nil {
		return err
	}
	number := func(l length.Length) string { return strconv.FormatInt(int64(l), 10) }
	paper := sawday.PlainPaper(depot.Plain(v.name, v.problem, v.result), v.words(), sawday.Options{Title: "Saw plan", Subject: v.name, Number: number, Left: number})
	files, err := drawn("saw-plan", paper)
	if err != nil {
		return err
	}
	return writeCut(dir, files, s)
}

func drawable(bars int) error {
	if bars > mostDrawn {
		return fmt.Errorf("%d bars are too many to draw, at most %d; leave --out away, or cut the day in parts", bars, mostDrawn)
	}
	return nil
}

// drawn is a paper as PDF and each of its pages as SVG.
func drawn(name string, paper *flow.Paper) ([]outFile, error) {
	pages, err := paper.Sheets()
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := pdf.Write(&b, pdf.Options{Title: paper.Title + ", " + paper.Subject}, pages...); err != nil {
		return nil, err
	}
	files := []outFile{{name + ".pdf", b.Bytes()}}
	for i, p := range pages {
		var b bytes.Buffer
		if err := svg.Write(&b, p, svg.Options{Letters: svg.Outlined}); err != nil {
			return nil, err
		}
		files = append(files, outFile{fmt.Sprintf("%s-%d.svg", name, i+1), b.Bytes()})
	}
	return files, nil
}

func writeCut(dir string, files []outFile, s streams) error {
	if err := writeAll(dir, files); err != nil {
		return err
	}
	fmt.Fprintf(s.err, "saw diagrams: %s and %s beside it\n", filepath.Join(dir, files[0].Name), count(len(files)-1, "file"))
	return nil
}

// write puts the saw diagrams of the day and the rack of the evening on disk.
func (v *dayView) write(dir string, s streams) error {
	bars := 0
	for _, f := range v.day.Profiles {
		bars += len(f.Bars)
	}
	table, err := rackTable(v.day)
	if err != nil {
		return err
	}
	rack := []outFile{{"rack.yaml", v.rackYAML()}, {"rack.csv", table}}
	if err := drawable(bars); err != nil {
		return errors.Join(writeAll(dir, rack), err)
	}
	o := sawday.Options{Title: "Saw day", Subject: v.subject(), Right: v.in.Shop.Name, Money: v.in.Shop.Currency, Due: v.due, Unit: "mm",
		Number: func(l length.Length) string { return v.in.Tape.Plain(l, length.Nearest) }, Left: func(l length.Length) string { return v.in.Tape.Plain(l, length.Down) }}
	if v.in.Tape.Inches {
		o.Unit, o.Size = "in", scene.Letter
	}
	o.Notes = append(o.Notes, v.assumed()...)
	files, err := drawn("saw-day", sawday.Paper(v.day, o))
	if err != nil {
		return err
	}
	return writeCut(dir, append(files, rack...), s)
}

func (v *dayView) subject() string { return count(len(v.day.Jobs), "job") }

// assumed is what the plan of the day takes for granted.
func (v *dayView) assumed() []string {
	out := []string{"Shares divide the cost of each profile in proportion to what each job would cost cut alone. “Alone” cuts the jobs one after the other in order of need, each with the offcuts that those before it left on the rack."}
	if v.in.RipHere {
		return append(out, "Edge panels of different jobs may share a sheet: rip none of them before both readings are in.")
	}
	return append(out, "Two edge panels share a sheet only within a job, since a sheet goes to one roof.")
}

// rackYAML is the rack of the evening in the form of a shop file.
func (v *dayView) rackYAML() []byte {
	doc := struct {
		Units string             `key:"units"`
		Rack  []catalogue.Offcut `key:"rack"`
	}{"mm", v.day.Rack}
	if v.in.Tape.Inches {
		doc.Units = "inch"
	}
	text := fileform.WriteYAML(doc)
	_, rack, _ := bytes.Cut(text, []byte("\n")) // units is the first line
	if len(v.day.Rack) == 0 {
		rack = []byte("rack: []\n")
	}
	head := "# The rack after this day: what was used is gone, what is new is labelled.\n# Put it in the place of rack under shop in the shop file.\n"
	for line := range bytes.Lines(rack) {
		head += "  " + string(line)
	}
	return []byte(head)
}

// rackTable is every offcut of the day: what stays, what is used, what is new.
func rackTable(d depot.Day) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	rows := [][]string{{"label", "state", "kind", "system", "tint", "length_mm", "price", "left_of_bar"}}
	row := func(state, from string, o catalogue.Offcut) {
		rows = append(rows, []string{o.Label, state, o.Kind, o.System, o.Tint, strconv.FormatFloat(o.Length.MM(), 'f', -1, 64), o.Price.Text(), from})
	}
	for _, o := range d.RackIn {
		row("used", "", o)
	}
	for _, o := range d.Rack[:len(d.Rack)-len(d.RackOut)] {
		row("stays", "", o)
	}
	for _, o := range d.RackOut {
		row("new", o.From, o.Offcut)
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
