package main

import (
	"fmt"
	"path/filepath"
	"time"

	"seamwright/engine/finding"
	"seamwright/engine/money"
	"seamwright/engine/plan"
	"seamwright/papers"
)

type quoteCmd struct {
	Job       string   `arg:"" help:"Job file, YAML or JSON; - for standard input."`
	Tint      []string `short:"t" placeholder:"TINT" help:"A tint to offer; may be repeated. Those of the panel system if none is given."`
	System    []string `short:"p" placeholder:"SYSTEM" help:"A panel system to offer; may be repeated. That of the job if none is given."`
	Spacing   []string `short:"s" placeholder:"LENGTH" help:"A widest purlin spacing to offer beside that of the job, for example 24\" or 600; may be repeated."`
	Catalogue []string `short:"c" placeholder:"FILE" help:"Catalogue or shop file; its systems and shop replace the built-in ones. May be repeated."`
	Out       string   `short:"o" default:"." placeholder:"DIR" help:"Folder for quote.pdf."`
	Date      string   `placeholder:"YYYY-MM-DD" help:"Date of issue; left open if not given."`
	Revision  string   `placeholder:"TEXT" help:"Version of the job, printed on the quote; 1 if not given."`
}

// mostOptions is how many columns a quote may have: two pages of three.
const mostOptions = 6

func (c quoteCmd) Run(s streams) error {
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
	ps, err := plan.Offers(in, plan.Choice{Systems: c.System, Tints: c.Tint, Spacings: c.Spacing, Most: mostOptions})
	if err != nil {
		return err
	}
	b, err := papers.QuotePDF(ps, papers.TermsOf(ps[0]), o)
	if err != nil {
		return err
	}
	c.print(s, ps)
	if b == nil {
		return fmt.Errorf("there is nothing to price yet; seamwright plan %s says why", c.Job)
	}
	if err := writeAll(c.Out, []outFile{{"quote.pdf", b}}); err != nil {
		return err
	}
	fmt.Fprintf(s.err, "quote: %s\n", filepath.Join(c.Out, "quote.pdf"))
	for _, p := range ps {
		if finding.HasStop(p.Findings) {
			return errStop
		}
	}
	return nil
}

// print sets the options side by side on the screen.
func (c quoteCmd) print(s streams, ps []plan.Plan) {
	row := func(label string, f func(plan.Plan) string) {
		fmt.Fprintf(s.out, "%-16s", label)
		for _, p := range ps {
			fmt.Fprintf(s.out, "%22s", fit(f(p), 21))
		}
		fmt.Fprintln(s.out)
	}
	cash := func(label string, f func(plan.Plan) money.Amount) {
		row(label, func(p plan.Plan) string { return f(p).Round().Text() })
	}
	fmt.Fprintln(s.out, ps[0].Job.Name)
	row("system", func(p plan.Plan) string { return p.System.Name })
	row("tint", func(p plan.Plan) string { return p.System.Tint })
	row("light", func(p plan.Plan) string { return fmt.Sprintf("%.0f %%", 100*float64(p.System.Light)) })
	row("panels", func(p plan.Plan) string { return fmt.Sprint(p.Count.Panels) })
	row("added purlins", func(p plan.Plan) string { return fmt.Sprint(p.Count.Purlins) })
	row("hours", func(p plan.Plan) string { return fmt.Sprintf("%.1f", p.Quote.Hours) })
	cash("material", func(p plan.Plan) money.Amount { return papers.PartsOf(p).Material })
	cash("labour", func(p plan.Plan) money.Amount { return papers.PartsOf(p).Labour })
	cash("delivery", func(p plan.Plan) money.Amount { return papers.PartsOf(p).Delivery })
	cash("before tax", func(p plan.Plan) money.Amount { return p.Quote.Sums.Net })
	cash("tax", func(p plan.Plan) money.Amount { return p.Quote.Sums.Tax })
	row("TOTAL "+ps[0].Quote.Currency, func(p plan.Plan) string {
		if finding.HasStop(p.Findings) {
			return "STOP"
		}
		return p.Quote.Sums.Total.Text()
	})
	cash("against first", func(p plan.Plan) money.Amount { return p.Quote.Sums.Total.Sub(ps[0].Quote.Sums.Total) })
	fmt.Fprintln(s.out, "NOT CHECKED: seamwright plan lists it. Local code and a licensed professional decide.")
}

// fit cuts a word that is too long for its column.
func fit(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}
