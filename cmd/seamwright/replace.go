package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"strings"

	"seamwright/engine/asbuilt"
	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/plan"
	"seamwright/engine/setout"
)

type replaceCmd struct {
	Job       string   `arg:"" help:"Job file, YAML or JSON; - for standard input."`
	Panel     string   `arg:"" help:"The broken panel, by its label: P3."`
	Plane     string   `placeholder:"NAME" help:"Roof plane, if the job has several."`
	Catalogue []string `short:"c" placeholder:"FILE" help:"Catalogue or shop file; its systems and shop replace the built-in ones. May be repeated."`
	JSON      bool     `name:"json" help:"Print it as JSON."`
}

func (c replaceCmd) Run(s streams) error {
	in, src, err := load(c.Job, c.Catalogue, s)
	if err != nil {
		return err
	}
	p := plan.Run(in)
	l, err := c.layout(p)
	if err != nil {
		return err
	}
	r, err := asbuilt.Replace(*l, p.Job.Tape, strings.ToUpper(strings.TrimSpace(c.Panel)))
	if err != nil {
		return err
	}
	if c.JSON {
		e := json.NewEncoder(s.out)
		e.SetIndent("", " ")
		e.SetEscapeHTML(false)
		err = e.Encode(r)
	} else {
		sc := screen{w: bufio.NewWriter(s.out), p: p, tape: p.Job.Tape, src: src}
		sc.removal(l, r)
		err = sc.w.Flush()
	}
	if err == nil && (finding.HasStop(r.Findings) || finding.HasStop(p.Findings)) {
		if finding.HasStop(p.Findings) {
			fmt.Fprintf(s.err, "the plan holds a stop, so lengths and names may not be those of the roof: seamwright plan %s\n", c.Job)
		}
		err = errStop
	}
	return err
}

func (c replaceCmd) layout(p plan.Plan) (*setout.Layout, error) {
	var names []string
	var found []*setout.Layout
	for _, x := range p.Planes {
		names = append(names, x.Frame.Plane)
		if x.Layout != nil && (c.Plane == "" || c.Plane == x.Frame.Plane) {
			found = append(found, x.Layout)
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return nil, fmt.Errorf("the job has several planes, and each has its own %s\nhint:  --plane %q; the planes are %s", c.Panel, names[0], strings.Join(names, ", "))
	case c.Plane != "":
		return nil, fmt.Errorf("no plane %q with a set-out; the planes are %s\nhint:  seamwright plan %s says what stands in the way", c.Plane, strings.Join(names, ", "), c.Job)
	}
	return nil, fmt.Errorf("the job has no set-out\nhint:  seamwright plan %s says why", c.Job)
}

func (s *screen) removal(l *setout.Layout, r asbuilt.Removal) {
	title := fmt.Sprintf("Replace %s on %s: it leaves %s", r.Panel, l.Plane, r.Way)
	fmt.Fprintln(s.w, title)
	fmt.Fprintln(s.w, strings.Repeat("─", min(wide, len([]rune(title)))))
	for _, f := range r.Findings {
		text := f.What
		for _, t := range []string{f.Why, f.Do} {
			if t != "" {
				text += ". " + upper(t)
			}
		}
		s.row(marks[f.Level], text+".")
	}
	for i, t := range r.Steps {
		s.row(fmt.Sprintf("%d.", i+1), t.Text)
	}
	for _, c := range r.Clips {
		s.row("clips "+c.Seam, c.Text)
	}
	if r.PullOut > 0 {
		s.row("room", fmt.Sprintf("pull-out %s along the slope: %s level and %s plumb past the eave", s.up(r.PullOut), s.up(r.Room), s.up(r.Drop)))
	}
	if len(r.Unbuild) > 0 {
		s.row("if it sticks", "unbuild in this order: "+strings.Join(r.Unbuild, ", "))
	}
	s.row("order", s.reorder(r.Order))
	s.row("caution", "fragile roof: nobody stands on panels; no one below; work from boards or a platform, in still air. Trade practice, no published source; the supplier's own rule comes first.")
}

// reorder is the line to send to the supplier.
func (s *screen) reorder(o asbuilt.Reorder) string {
	text := fmt.Sprintf("1 panel %s, %s, %s long", s.p.System.Title, s.p.System.Tint, s.l(o.Length))
	if o.Blank {
		text += " (blank, ends cut by the drawing)"
	}
	if o.Rip {
		text += ", full width, ripped on site to " + s.tied(s.tape.Format(o.EaveWidth, length.Nearest))
		if s.l(o.EaveWidth) != s.l(o.HeadWidth) {
			text += " at the eave and " + s.l(o.HeadWidth) + " at the head"
		}
		text += " as planned; measure the one taken off"
	}
	var ends []string
	for _, e := range o.Ends {
		t := e.Tape + " tape"
		if e.Closure != "" {
			t = "closure " + e.Closure + " and " + t
		}
		ends = append(ends, fmt.Sprintf("%s end: %s", e.At, t))
	}
	if len(ends) > 0 {
		text += "; " + strings.Join(ends, "; ")
	}
	if len(o.Caps) > 0 {
		text += "; seam caps " + strings.Join(o.Caps, ", ") + " in reserve, they may break"
	}
	return text
}
