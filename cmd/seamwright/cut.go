package main

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"time"

	"seamwright/engine/cutting"
	"seamwright/engine/cutverify"
	"seamwright/engine/depot"
	"seamwright/engine/finding"
)

type cutCmd struct {
	Files     []string `arg:"" name:"file" help:"Job files, one or many, cut together as one day; or one instance of format cs1. - for standard input."`
	Catalogue []string `short:"c" placeholder:"FILE" help:"Catalogue or shop file; its systems and shop replace the built-in ones. May be repeated."`
	Due       []string `sep:"none" placeholder:"FILE=WHEN" help:"When the pieces of a job are needed: 2026-05-04, 2026-05-04T14:30 or 14:30. Jobs without come last. May be repeated."`
	RipHere   bool     `help:"Edge panels are ripped here, once all readings are in: rips of different jobs may share a sheet."`
	TimeLimit string   `placeholder:"TIME" help:"Stop searching after this time, such as 5s; the best plan so far is printed with the gap that is proved."`
	Verify    bool     `help:"Pass every result through the independent verifier and say so."`
	JSON      bool     `name:"json" help:"Print the result as JSON: objective, lower_bound, proven, seconds, patterns; for jobs the whole plan of the day."`
	Out       string   `short:"o" placeholder:"DIR" help:"Write saw diagrams as PDF and SVG, and for jobs the rack, into this folder."`
}

func (c cutCmd) Run(s streams) error {
	cancel, err := c.cancel()
	if err != nil {
		return err
	}
	var files []cutFile
	for _, name := range c.Files {
		f, err := readCutFile(name)
		if err != nil {
			return err
		}
		if f.instance && len(c.Files) > 1 {
			return fmt.Errorf("%s is an instance of format cs1; give one such file, or only job files", name)
		}
		files = append(files, f)
	}
	if files[0].instance {
		return c.plain(files[0], cancel, s)
	}
	return c.day(files, cancel, s)
}

// cutFile is one file of the command line.
type cutFile struct {
	name     string
	data     []byte
	instance bool // of format cs1
}

// mostBytes bounds what is read of an instance.
const mostBytes = 16 << 20

var saysCS1 = regexp.MustCompile(`"format"\s*:\s*"cs`)

func readCutFile(name string) (cutFile, error) {
	r := io.Reader(os.Stdin)
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return cutFile{}, fmt.Errorf("%w\nhint:  seamwright new %s writes a starter job", err, name)
		}
		defer f.Close()
		r = f
	}
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return cutFile{}, err
	}
	if len(data) > mostBytes {
		return cutFile{}, fmt.Errorf("%s is larger than %d MB; list equal lengths once, with their demand", name, mostBytes>>20)
	}
	head := data[:min(len(data), 4096)]
	return cutFile{name, data, saysCS1.Match(head) && strings.HasPrefix(strings.TrimSpace(string(head)), "{")}, nil
}

// cancel ends the search when the time is up.
func (c cutCmd) cancel() (func() bool, error) {
	if c.TimeLimit == "" {
		return nil, nil
	}
	d, err := time.ParseDuration(c.TimeLimit)
	if err != nil {
		seconds, e := strconv.ParseFloat(c.TimeLimit, 64)
		if e != nil || math.IsNaN(seconds) || math.Abs(seconds) > 1e6 {
			return nil, fmt.Errorf("--time-limit %q is not a time; write for example 5s, 500ms or 2m", c.TimeLimit)
		}
		d = time.Duration(seconds * float64(time.Second))
	}
	if d <= 0 {
		return nil, fmt.Errorf("--time-limit %s leaves no time; write for example 5s", c.TimeLimit)
	}
	end := time.Now().Add(d)
	return func() bool { return time.Now().After(end) }, nil
}

// verify is the independent check of one result. With pieces that cannot be
// served the bars are checked, and no bound is claimed.
func verify(p *cutting.Problem, r *cutting.Result) error {
	if len(r.Unserved)+len(r.UnservedRips) > 0 {
		return cutverify.Plan(p, r)
	}
	return cutverify.Check(p, r)
}

// plain cuts one instance of format cs1.
func (c cutCmd) plain(f cutFile, cancel func() bool, s streams) error {
	if len(c.Due) > 0 || c.RipHere {
		return fmt.Errorf("%s is a bare instance: it has no jobs that --due or --rip-here could speak of", f.name)
	}
	in, err := cutting.ReadCS1(f.data)
	if err != nil {
		return fmt.Errorf("%s: %w", f.name, err)
	}
	p := &in.Problem
	long := depot.TooLong(p)
	opt := cutting.Options{Cancel: cancel}
	if cancel != nil {
		opt.Work = math.MaxInt64 / 4 // the clock decides
	}
	start := time.Now()
	r, err := cutting.Solve(p, opt)
	seconds := time.Since(start).Seconds()
	var short *cutting.ShortError
	if err != nil && !errors.As(err, &short) {
		return fmt.Errorf("%s: %w", f.name, err)
	}
	missing := append(long, unservedLengths(p, r)...)
	if c.Verify {
		if err := verify(p, r); err != nil {
			return fmt.Errorf("%s: the result did not pass the verifier: %w; do not cut from it", f.name, err)
		}
	}
	view := plainView{name: in.Name, problem: p, result: r, missing: missing, verified: c.Verify}
	if view.name == "" {
		view.name = f.name
	}
	var written error // said after the plan, which is not lost with the drawings
	if c.Out != "" {
		written = view.write(c.Out, s)
	}
	if c.JSON {
		err = printJSON(s.out, view.report(seconds))
	} else {
		err = view.print(s.out)
	}
	if err = cmp.Or(err, written); err == nil && len(missing) > 0 {
		fmt.Fprintln(s.err, "error: cannot be served:", countLengths(missing))
		err = errStop
	}
	return err
}

// unservedLengths lists the lengths that the supply does not reach for.
func unservedLengths(p *cutting.Problem, r *cutting.Result) []int64 {
	var out []int64
	for _, i := range r.Unserved {
		out = append(out, p.Pieces[i].Length)
	}
	return out
}

func printJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// day cuts the jobs of the files together.
func (c cutCmd) day(files []cutFile, cancel func() bool, s streams) error {
	v, err := c.read(files, s)
	if err != nil {
		return err
	}
	v.in.RipHere, v.in.Options.Cancel = c.RipHere, cancel
	if c.Verify {
		v.in.Check = verify
	}
	start := time.Now()
	v.day = depot.Plan(v.in)
	v.seconds = time.Since(start).Seconds()
	v.day.Findings = append(v.found, v.day.Findings...)
	finding.Sort(v.day.Findings)
	var written error // said after the plan, which is not lost with the drawings
	if c.Out != "" {
		written = v.write(c.Out, s)
	}
	if c.JSON {
		err = printJSON(s.out, v.report())
	} else {
		err = v.print(s.out)
	}
	if err = cmp.Or(err, written); err == nil && finding.HasStop(v.day.Findings) {
		err = errStop
	}
	return err
}
