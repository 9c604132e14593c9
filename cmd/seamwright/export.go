package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"seamwright/engine/finding"
	"seamwright/engine/plan"
	"seamwright/exports"
	"seamwright/papers"
)

type exportCmd struct {
	Job       string   `arg:"" help:"Job file, YAML or JSON; - for standard input."`
	Out       string   `short:"o" required:"" placeholder:"DIR|FILE.zip" help:"Folder to write into, or a name that ends in .zip for one archive."`
	Catalogue []string `short:"c" placeholder:"FILE" help:"Catalogue or shop file; its systems and shop replace the built-in ones. May be repeated."`
	Date      string   `placeholder:"YYYY-MM-DD" help:"Date of issue; left open if not given, so that the same job gives the same bytes."`
	Revision  string   `placeholder:"TEXT" help:"Version of the job, printed on papers and labels; 1 if not given."`
}

func (c exportCmd) Run(s streams) error {
	o := papers.Options{Version: c.Revision}
	if c.Date != "" {
		date, err := time.Parse(time.DateOnly, c.Date)
		if err != nil {
			return fmt.Errorf("--date %q is not a date; write year, month and day, for example 2026-05-04", c.Date)
		}
		o.Date = date
	}
	in, _, err := load(c.Job, c.Catalogue, s)
	if err != nil {
		return err
	}
	p := plan.Run(in)
	files, err := exports.All(p, in.Job, o)
	if err != nil {
		return err
	}
	if err := c.write(files, o); err != nil {
		return err
	}
	fmt.Fprintf(s.err, "exports: %d files in %s; %s says what each is\n", len(files), c.Out, exports.ReadFirst)
	if finding.HasStop(p.Findings) {
		fmt.Fprintf(s.err, "the plan holds a stop: do not order, cut or build from these files; seamwright plan %s says why\n", c.Job)
		return errStop
	}
	return nil
}

// write puts the files into the folder or the archive, all or none.
func (c exportCmd) write(files []papers.File, o papers.Options) error {
	if !strings.EqualFold(filepath.Ext(c.Out), ".zip") {
		if st, err := os.Stat(c.Out); err == nil && !st.IsDir() {
			return fmt.Errorf("%s is a file, not a folder; name a folder, or a file that ends in .zip", c.Out)
		}
		var out []outFile
		for _, f := range files {
			out = append(out, outFile{f.Name, f.Bytes})
		}
		return writeAll(c.Out, out)
	}
	if st, err := os.Stat(c.Out); err == nil && st.IsDir() {
		return fmt.Errorf("%s is a folder; name a file for the archive", c.Out)
	}
	data, err := exports.Zip(files, o.Date)
	if err != nil {
		return err
	}
	return writeAll(filepath.Dir(c.Out), []outFile{{filepath.Base(c.Out), data}})
}
