package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"

	"seamwright/engine/finding"
	"seamwright/engine/job"
	"seamwright/engine/plan"
	"seamwright/papers"
)

type planCmd struct {
	Job       string   `arg:"" help:"Job file, YAML or JSON; - for standard input."`
	Catalogue []string `short:"c" placeholder:"FILE" help:"Catalogue or shop file; its systems and shop replace the built-in ones. May be repeated."`
	JSON      bool     `name:"json" help:"Print the whole plan as JSON."`
	Out       string   `short:"o" placeholder:"DIR" help:"Write every paper and drawing into this folder."`
}

func (c planCmd) Run(s streams) error {
	in, src, err := load(c.Job, c.Catalogue, s)
	if err != nil {
		return err
	}
	in.Thorough = c.Out != "" // the calculation report carries curves and the large-deflection figures
	p := plan.Run(in)
	if c.Out != "" {
		if err := c.write(p, in.Job, s); err != nil {
			return err
		}
	}
	if c.JSON {
		e := json.NewEncoder(s.out)
		e.SetIndent("", " ")
		e.SetEscapeHTML(false)
		err = e.Encode(p)
	} else {
		err = printScreen(s.out, p, src)
	}
	if err == nil && finding.HasStop(p.Findings) {
		err = errStop
	}
	return err
}

// write puts the papers and drawings on disk.
func (c planCmd) write(p plan.Plan, j job.Job, s streams) error {
	made, err := papers.All(p, papers.Options{Built: built(j)})
	if err != nil {
		return err
	}
	var files []outFile
	var names []string
	for _, f := range made {
		files = append(files, outFile{f.Name, f.Bytes})
		names = append(names, filepath.Join(c.Out, f.Name))
	}
	if err := writeAll(c.Out, files); err != nil {
		return err
	}
	fmt.Fprintf(s.err, "papers: %s\n", strings.Join(pick(names), ", "))
	return nil
}

// built is what the job holds of work done, by plane.
func built(j job.Job) map[string]job.AsBuilt {
	out := map[string]job.AsBuilt{}
	for _, p := range j.Planes {
		if p.AsBuilt != nil {
			out[p.Name] = *p.AsBuilt
		}
	}
	return out
}

// pick names the PDFs and counts the rest.
func pick(names []string) []string {
	var out []string
	for _, n := range names {
		if strings.HasSuffix(n, ".pdf") {
			out = append(out, n)
		}
	}
	return append(out, fmt.Sprintf("and %d drawings", len(names)-len(out)))
}
