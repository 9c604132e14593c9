package papers

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"seamwright/drawing/scene"
	"seamwright/drawing/scene/draft"
	"seamwright/drawing/scene/flow"
	"seamwright/drawing/sheets"
	"seamwright/engine/catalogue"
	"seamwright/engine/checks"
	"seamwright/engine/checks/chain"
	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/plan"
	"seamwright/engine/takeoff"
)

// Terms are what a quote says beside prices.
type Terms = catalogue.Terms

// TermsOf are the terms of the shop of a plan.
func TermsOf(p plan.Plan) Terms {
	if t := p.System.Shop.Terms; t != nil {
		return *t
	}
	return Terms{}
}

// Quote makes the paper for the customer: one column for each plan, all of the
// same job in another tint, system or spacing. Paper, language and firm are those
// of the first.
func Quote(ps []plan.Plan, terms Terms, o Options) ([]*scene.Sheet, error) {
	if len(ps) == 0 || len(ps[0].Count.Pieces) == 0 {
		return nil, nil
	}
	p, o := inLanguage(ps[0], o)
	w := quoteWriter{p: p, o: o, terms: terms, paper: newPaper(p, o, tx(p).QuoteTitle, tx(p).QuoteDesc)}
	hash := o.hashOf(p)
	w.paper.Block = func(n, of int) draft.TitleBlock {
		b := titleBlock(p, o, tx(p).QuoteTitle, hash, n, of)
		if !anyStop(ps) {
			b[2][4].Text = tx(p).QuoteStatus
		}
		return b
	}
	for i, q := range ps {
		w.all = append(w.all, column{plan: q, letter: letter(i)})
	}
	w.front()
	pages := (len(w.all) + 2) / 3
	for i := range pages {
		w.options(w.all[i*len(w.all)/pages : (i+1)*len(w.all)/pages])
	}
	w.lists()
	w.paper.Last = func(c *flow.Column) {
		c.Caution(tx(p).Caution, tx(p).Fragile, tx(p).QuoteCaution1, tx(p).QuoteCaution2+" "+fmt.Sprintf(tx(p).FmtQuoteCaution3, len(p.NotChecked))+" "+tx(p).Defer1)
		c.Blanks(tx(p).BlankName, tx(p).BlankDate, tx(p).BlankFirm)
	}
	return w.paper.Sheets()
}

// QuotePDF is the quote as a file; nil if there is nothing to price.
func QuotePDF(ps []plan.Plan, terms Terms, o Options) ([]byte, error) {
	made, err := Quote(ps, terms, o)
	if err != nil || len(made) == 0 {
		return nil, err
	}
	return PDF(ps[0], o, tx(ps[0]).QuoteTitle, made)
}

func anyStop(ps []plan.Plan) bool {
	for _, p := range ps {
		if finding.HasStop(p.Findings) {
			return true
		}
	}
	return false
}

func letter(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letter(i/26-1) + letter(i%26)
}

// column is one option.
type column struct {
	plan   plan.Plan
	letter string
}

type quoteWriter struct {
	p     plan.Plan
	o     Options
	terms Terms
	paper *flow.Paper
	all   []column
}

// front tells whom it is for and what roof it is, beside its picture.
func (w *quoteWriter) front() {
	say, p := tx(w.p), w.p
	c := &w.paper.Column
	const gap = 6.0
	who := p.Job.Customer
	if p.Job.Address != "" {
		who = strings.TrimPrefix(who+", "+p.Job.Address, ", ")
	}
	c.Columns(gap, []float64{0.52, 0.48}, func(c *flow.Column) {
		if who != "" {
			c.ParaIn(scene.Head, fmt.Sprintf(say.FmtFor, who))
			c.Space(1)
		}
		c.ParaIn(scene.Remark, w.about())
		c.Space(1)
		c.ParaIn(scene.Remark, say.NoScrewThrough)
		c.Space(1)
		c.ParaIn(scene.Remark, fmt.Sprintf(say.FmtPrices, p.Quote.Currency)+" "+prose(sentence(speak(p, p.System.Standing))))
	}, func(c *flow.Column) {
		c.Drawing(50, func(a scene.Rect) []scene.Item { return sheets.Picture(p, a) })
	})
}

func (w *quoteWriter) about() string {
	p, say := w.p, tx(w.p)
	area := areaText(p, p.Count.Area)
	title := prose(speak(p, p.System.Title))
	if len(p.Planes) > 1 {
		return fmt.Sprintf(say.FmtRoofsAre, title, len(p.Planes), area)
	}
	if len(p.Planes[0].Frame.Edges) != 4 {
		return fmt.Sprintf(say.FmtRoofCovers, title, area)
	}
	var sides []string
	for k, e := range p.Planes[0].Frame.Edges {
		if k < 2 {
			sides = append(sides, p.Job.Tape.Format(e.Length, length.Nearest))
		}
	}
	out := fmt.Sprintf(say.FmtRoofIs, title, prose(strings.Join(sides, " × ")), area)
	if l := p.Planes[0].Layout; l != nil {
		out += " " + fmt.Sprintf(say.FmtFallsTo, sheets.SlopeText(p, l.Slope))
	}
	return out
}

const footPerMetre2 = 10.763910416709722

func areaText(p plan.Plan, m2 float64) string {
	if p.Job.Units == "inch" {
		return numberIn(p, fmt.Sprintf("%.1f", m2*footPerMetre2)) + "\u00a0ft²"
	}
	return numberIn(p, fmt.Sprintf("%.2f", m2)) + "\u00a0m²"
}

// numberIn groups the digits of a decimal number and sets its point as the
// language of the job does.
func numberIn(p plan.Plan, s string) string {
	sign := ""
	if strings.HasPrefix(s, "-") {
		sign, s = "−", s[1:]
	}
	whole, rest, broken := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + tx(p).Thousands + whole[i:]
	}
	if broken {
		whole += tx(p).Point + rest
	}
	return sign + whole
}

func amountIn(p plan.Plan, a money.Amount) string { return numberIn(p, a.Round().Text()) }

// share writes a ratio in percent without needless zeros.
func share(p plan.Plan, r float64) string {
	return strings.Replace(strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.3f", r*100), "0"), "."), ".", tx(p).Point, 1)
}

// Parts are the price of an option as the customer sees it: overhead and margin
// lie in material and labour. They add up to the total exactly.
type Parts struct {
	Material, Waste, Labour, Delivery, Net, Tax, Total money.Amount
}

// PartsOf takes a quote apart. Waste is the part of the material that is sawn off;
// delivery takes the rounding, so that the parts add up.
func PartsOf(p plan.Plan) Parts {
	s := p.Quote.Sums
	out := Parts{Net: s.Net, Tax: s.Tax, Total: s.Total}
	up := (1 + float64(p.System.Shop.Overhead)) * (1 + float64(p.System.Shop.Margin))
	out.Material = s.Material.Sub(s.Offcuts).Scale(up)
	out.Labour = s.Labour.Scale(up)
	out.Delivery = out.Net.Sub(out.Material).Sub(out.Labour)
	waste := money.Zero
	for _, l := range p.Quote.Material {
		waste = waste.Add(l.Waste)
	}
	waste = waste.Sub(s.Offcuts)
	if waste.Negative() {
		waste = money.Zero
	}
	out.Waste = waste.Scale(up)
	return out
}

// line is one row of the table of options.
type line struct {
	label string
	text  func(k column) string // wrapped into its cell
	right bool
	style scene.Style
	draw  func(k column, a scene.Rect) []scene.Item // instead of text
	h     float64
	rule  float64 // pen of the rule below; 0 for none
}

// options sets up to three columns side by side.
func (w *quoteWriter) options(cols []column) {
	lines := w.lines(cols)
	lead := 45.0
	width := (w.paper.W - lead) / float64(max(len(cols), 2))
	const pad = 2.6
	total := 10.5
	for i := range lines {
		l := &lines[i]
		if l.h == 0 {
			n := len(scene.Wrap(scene.Body, lead-2, l.label))
			for _, k := range cols {
				n = max(n, len(scene.Wrap(l.style, width-2*pad, l.text(k))))
			}
			l.h = 2.2 + 3.4*float64(n)
		}
		total += l.h
	}
	w.paper.Space(1.5)
	w.paper.Drawing(total+1, func(a scene.Rect) []scene.Item {
		out := scene.Items(scene.HLine(scene.Pen(scene.Strong), a.X, a.Right(), a.Y+10))
		for k, col := range cols {
			x := a.X + lead + width*float64(k)
			out = append(out, scene.T(x+pad, a.Y+7.6, scene.Banner.At(7.2), col.letter))
			st, text := scene.Shorten(scene.Head, width-14, w.heading(col, cols))
			out = append(out, scene.T(x+pad+8.4, a.Y+7.6, st, text), scene.VLine(scene.Pen(scene.Mid), x, a.Y, a.Y+total))
		}
		y := a.Y + 10.5
		for _, l := range lines {
			if l.label == tx(w.p).RowTotal {
				out = append(out, scene.T(a.X, y+6.4, scene.Head, l.label))
			} else {
				for n, run := range scene.Wrap(scene.Body, lead-2, l.label) {
					out = append(out, scene.Text{At: scene.P(a.X, y+3.6+3.4*float64(n)), Runs: run, Style: scene.Body})
				}
			}
			for k, col := range cols {
				cell := scene.Rect{X: a.X + lead + width*float64(k) + pad, Y: y, W: width - 2*pad, H: l.h}
				if l.draw != nil {
					out = append(out, l.draw(col, cell)...)
					continue
				}
				for n, run := range scene.Wrap(l.style, cell.W, l.text(col)) {
					t := scene.Text{At: scene.P(cell.X, y+3.6+3.4*float64(n)), Runs: run, Style: l.style}
					if l.right {
						t.At.X = cell.Right()
						t = t.End()
					}
					out = append(out, t)
				}
			}
			y += l.h
			if l.rule > 0 {
				out = append(out, scene.HLine(scene.Pen(l.rule), a.X, a.Right(), y))
			}
		}
		return out
	})
}

// heading is what tells an option from the others.
func (w *quoteWriter) heading(col column, cols []column) string {
	out := speak(w.p, col.plan.System.Tint)
	for _, k := range cols {
		if k.plan.System.Tint == col.plan.System.Tint && k.plan.System.Name == col.plan.System.Name && k.plan.Count.Purlins < col.plan.Count.Purlins {
			return out + ", " + tx(w.p).CloserPurlins
		}
	}
	return out
}

func (w *quoteWriter) lines(cols []column) []line {
	say, p := tx(w.p), w.p
	plain := func(label string, f func(plan.Plan) string) line {
		return line{label: label, text: func(k column) string { return f(k.plan) }, style: scene.Body, rule: scene.Fine}
	}
	cash := func(label string, f func(plan.Plan) money.Amount, rule float64) line {
		return line{label: label, text: func(k column) string { return amountIn(p, f(k.plan)) }, style: scene.Body, right: true, rule: rule}
	}
	out := []line{
		plain(say.RowPanel, func(q plan.Plan) string { return prose(speak(p, q.System.Title)) }),
		{label: say.RowLight, h: 5.6, rule: scene.Fine, draw: w.light},
		plain(say.RowPieces, func(q plan.Plan) string { return fmt.Sprintf(say.FmtPieces, q.Count.Panels, kindCount(q, takeoff.Cap)) }),
		plain(say.RowPurlins, w.purlins),
		plain(say.RowClips, func(q plan.Plan) string {
			return fmt.Sprintf(say.FmtClips, partCount(q, "clip"), partCount(q, "clip screw"))
		}),
		plain(say.RowWindSite, w.windSite),
		plain(say.RowWindLimit, w.windLimit),
		plain(say.RowSpacing, w.spacing),
		plain(say.RowUplift, w.uplift),
		plain(say.RowHours, func(q plan.Plan) string {
			return fmt.Sprintf(say.FmtHours, numberIn(p, fmt.Sprintf("%.1f", q.Quote.Hours)))
		}),
		cash(say.RowMaterial, func(q plan.Plan) money.Amount { return PartsOf(q).Material }, 0),
		cash(say.RowLabour, func(q plan.Plan) money.Amount { return PartsOf(q).Labour }, 0),
		cash(say.RowDelivery, func(q plan.Plan) money.Amount { return PartsOf(q).Delivery }, scene.Fine),
		cash(say.RowNet, func(q plan.Plan) money.Amount { return q.Quote.Sums.Net }, 0),
		cash(fmt.Sprintf(say.FmtTax, share(p, float64(p.System.Shop.Tax))), func(q plan.Plan) money.Amount { return q.Quote.Sums.Tax }, scene.Fine),
		{label: say.RowTotal, h: 9, rule: scene.Thick, draw: w.total},
	}
	if p.Job.Units == "inch" {
		out = append(out, cash(say.RowPerFoot, func(q plan.Plan) money.Amount { return q.Quote.Sums.Net.Per(q.Count.Area * footPerMetre2) }, scene.Fine))
	} else {
		out = append(out, cash(say.RowPerMetre, func(q plan.Plan) money.Amount { return q.Quote.PerArea }, scene.Fine))
	}
	if len(w.all) > 1 {
		out = append(out, line{label: fmt.Sprintf(say.FmtAgainst, w.all[0].letter), style: scene.Body, right: true, rule: scene.Fine, text: w.difference})
	}
	if d := float64(w.terms.Deposit); d > 0 {
		out = append(out, line{label: fmt.Sprintf(say.FmtDeposit, share(p, d)), style: scene.Body, right: true, rule: scene.Fine, text: func(k column) string {
			first := k.plan.Quote.Sums.Total.Scale(d)
			return amountIn(p, first) + " · " + amountIn(p, k.plan.Quote.Sums.Total.Sub(first))
		}})
	}
	out = append(out, line{label: say.RowMoney, h: 13.5, draw: w.money},
		line{label: say.RowDrives, style: scene.Body, rule: scene.Fine, text: w.drives})
	if len(w.all) > 1 {
		out = append(out, line{label: say.RowTick, h: 8, rule: scene.Strong, draw: w.tick})
	}
	return out
}

func (w *quoteWriter) light(k column, a scene.Rect) []scene.Item {
	full := math.Min(a.W-14, 28)
	r := math.Max(0, math.Min(1, float64(k.plan.System.Light)))
	y := a.Y + 1.2
	return scene.Items(scene.Rectangle(scene.Pen(scene.Fine), scene.Hatch(45, 1.2), scene.Rect{X: a.X + full*r, Y: y, W: full * (1 - r), H: 3}),
		scene.Rectangle(scene.Pen(scene.Mid), scene.Fill{}, scene.Rect{X: a.X, Y: y, W: full, H: 3}),
		scene.T(a.X+full+2, a.Y+2.7, scene.Body, share(w.p, r)+" %").Amid())
}

func kindCount(p plan.Plan, kind string) int {
	n := 0
	for _, q := range p.Count.Pieces {
		if q.Kind == kind {
			n++
		}
	}
	return n
}

func partCount(p plan.Plan, item string) int {
	for _, q := range p.Count.Parts {
		if q.Item == item {
			return q.Counted
		}
	}
	return 0
}

// widestBay is the largest distance of two purlins of a plane.
func widestBay(p plan.Plan, i int) length.Length {
	l := p.Planes[i].Layout
	var out length.Length
	if l == nil {
		return 0
	}
	for k := 1; k < len(l.Purlins); k++ {
		out = max(out, l.Purlins[k].EaveLeft-l.Purlins[k-1].EaveLeft, l.Purlins[k].EaveRight-l.Purlins[k-1].EaveRight)
	}
	return out
}

func (w *quoteWriter) purlins(q plan.Plan) string {
	n, widest := 0, length.Length(0)
	for i := range q.Planes {
		if q.Planes[i].Layout != nil {
			n += len(q.Planes[i].Layout.Purlins)
			widest = max(widest, widestBay(q, i))
		}
	}
	apart := prose(q.Job.Tape.Format(widest, length.Nearest))
	if q.Count.Purlins > 0 {
		return fmt.Sprintf(tx(w.p).FmtPurlinsAdd, n, apart, q.Count.Purlins)
	}
	return fmt.Sprintf(tx(w.p).FmtPurlins, n, apart)
}

func (w *quoteWriter) speed(q plan.Plan, v float64) string {
	if q.Job.Units == "inch" {
		return fmt.Sprintf("%.0f mph", v/0.44704)
	}
	return fmt.Sprintf("%.0f m/s", v)
}

func (w *quoteWriter) windSite(q plan.Plan) string {
	if q.Site == nil || q.Site.Wind == nil {
		return tx(w.p).NotGiven
	}
	return w.speed(q, float64(q.Site.Wind.Speed))
}

// windLimit reads the lowest curve of clip and screw at the widest bay. It is
// never the limit of the roof.
func (w *quoteWriter) windLimit(q plan.Plan) string {
	if q.Site == nil || q.Site.Wind == nil {
		return tx(w.p).NotGiven
	}
	least, link := math.Inf(1), ""
	for i, pl := range q.Planes {
		if pl.Checks == nil || pl.Checks.Inverse == nil {
			continue
		}
		for _, c := range pl.Checks.Inverse.Wind {
			if c.Screws != 0 && c.Screws != q.System.System.Clip.ScrewsUsed {
				continue
			}
			if v, ok := curveAt(c, widestBay(q, i).MM()); ok && v < least {
				least, link = v, c.Link
			}
		}
	}
	if link == "" {
		return tx(w.p).NotWorked
	}
	text := fmt.Sprintf(tx(w.p).FmtWindLimit, w.speed(q, least), speak(w.p, link))
	if least < float64(q.Site.Wind.Speed) {
		text = fmt.Sprintf(tx(w.p).BelowSite, text)
	}
	return text
}

// curveAt reads a curve between its points; it never reaches past its ends.
func curveAt(c chain.Curve, s float64) (float64, bool) {
	for i := 1; i < len(c.Spacing) && i < len(c.Value); i++ {
		a, b := c.Spacing[i-1], c.Spacing[i]
		if s >= a && s <= b && b > a {
			return c.Value[i-1] + (c.Value[i]-c.Value[i-1])*(s-a)/(b-a), true
		}
	}
	return 0, false
}

func (w *quoteWriter) spacing(q plan.Plan) string {
	if q.Site == nil {
		return tx(w.p).NotGiven
	}
	var out []string
	seen, widths := map[string]bool{}, map[string]bool{}
	for _, pl := range q.Planes {
		if pl.Checks == nil || pl.Checks.Inverse == nil {
			continue
		}
		for _, s := range pl.Checks.Inverse.Spacing {
			if s.Screws != q.System.System.Clip.ScrewsUsed || seen[s.Zone] {
				continue
			}
			seen[s.Zone] = true
			widest := tx(w.p).NoSpacing
			if s.Widest > 0 {
				widest = prose(q.Job.Tape.Format(length.FromMM(s.Widest), length.Down))
			}
			widths[widest] = true
			out = append(out, fmt.Sprintf(tx(w.p).FmtZoneSpacing, s.Zone, widest))
		}
	}
	switch {
	case len(out) == 0:
		return tx(w.p).NotWorked
	case len(widths) == 1:
		for widest := range widths {
			return fmt.Sprintf(tx(w.p).EveryZone, widest)
		}
	}
	return strings.Join(out, "; ")
}

// uplift says what is known of the panel itself.
func (w *quoteWriter) uplift(q plan.Plan) string {
	most := -1.0
	for _, pl := range q.Planes {
		if pl.Checks == nil || pl.Loads == nil || !pl.Loads.Any() {
			continue
		}
		for _, r := range pl.Checks.Requests {
			if r.Sign == "uplift" {
				return tx(w.p).AskRating
			}
		}
		for _, k := range pl.Checks.Checks {
			if strings.HasPrefix(k.What, "panel under uplift") && k.Verdict != checks.NotChecked {
				most = math.Max(most, k.Utilisation)
			}
		}
	}
	if most < 0 {
		return tx(w.p).NotCheckedBar
	}
	return fmt.Sprintf(tx(w.p).FmtUsed, share(w.p, math.Round(most*100)/100)+" %")
}

func (w *quoteWriter) total(k column, a scene.Rect) []scene.Item {
	if finding.HasStop(k.plan.Findings) {
		st, text := scene.Shorten(scene.Body.Bold(), a.W, tx(w.p).NotForSale)
		return scene.Items(scene.T(a.X, a.Y+5.8, st, text))
	}
	text := k.plan.Quote.Currency + " " + amountIn(w.p, k.plan.Quote.Sums.Total)
	st, text := scene.Shorten(scene.Banner.Bold(), a.W, text)
	return scene.Items(scene.T(a.Right(), a.Y+6.4, st, text).End())
}

func (w *quoteWriter) difference(k column) string {
	d := k.plan.Quote.Sums.Total.Sub(w.all[0].plan.Quote.Sums.Total)
	switch {
	case k.letter == w.all[0].letter:
		return tx(w.p).None
	case d.Negative() || d.IsZero():
		return amountIn(w.p, d)
	}
	return "+" + amountIn(w.p, d)
}

// money is a bar of where the money goes, with its key under it.
func (w *quoteWriter) money(k column, a scene.Rect) []scene.Item {
	say, x := tx(w.p), PartsOf(k.plan)
	total := float64(x.Total.Minor())
	if total <= 0 {
		return nil
	}
	entries := []struct {
		name string
		v    money.Amount
		fill scene.Fill
	}{{say.MoneyMaterial, x.Material.Sub(x.Waste), scene.Solid(scene.Black)}, {say.MoneyWaste, x.Waste, scene.Dots(0.9)},
		{say.MoneyLabour, x.Labour, scene.Hatch(45, 1)}, {say.MoneyDelivery, x.Delivery, scene.Fill{}}, {say.MoneyTax, x.Tax, scene.Hatch(135, 0.6)}}
	var out []scene.Item
	at := a.X
	for i, e := range entries {
		wide := a.W * float64(e.v.Minor()) / total
		out = append(out, scene.Rectangle(scene.Pen(scene.Fine), e.fill, scene.Rect{X: at, Y: a.Y + 1.3, W: wide, H: 3.2}))
		at += wide
		col, row := float64(i%3), float64(i/3)
		x, y := a.X+col*a.W/3, a.Y+5.6+row*3.9
		out = append(out, scene.Rectangle(scene.Pen(scene.Fine), e.fill, scene.Rect{X: x, Y: y, W: 2.8, H: 2.4}))
		st, text := scene.Shorten(scene.Caption.In(scene.Black), a.W/3-4.4, e.name)
		out = append(out, scene.T(x+3.6, y+1.3, st, text).Amid())
	}
	return out
}

// drives names the largest parts of the net price.
func (w *quoteWriter) drives(k column) string {
	say, q := tx(w.p), k.plan
	up := (1 + float64(q.System.Shop.Overhead)) * (1 + float64(q.System.Shop.Margin))
	sums := map[string]float64{}
	names := map[string]string{takeoff.Panel: say.DriverPanels, takeoff.Cap: say.DriverCaps, takeoff.Channel: say.DriverChannels, takeoff.Closure: say.DriverClosures}
	inKinds := 0.0
	for _, kind := range q.Saw.Kinds {
		cost := 0.0
		for _, b := range kind.Bought {
			cost += float64(b.Each.Times(int64(b.Count)).Minor())
		}
		sums[names[kind.Kind]] += cost * up
		inKinds += cost
	}
	sums[say.DriverParts] = (float64(q.Quote.Sums.Material.Minor()) - inKinds) * up
	for _, l := range q.Quote.Labour {
		sums[speak(w.p, l.What)] += float64(l.Amount.Minor()) * up
	}
	var keys []string
	for name := range sums {
		keys = append(keys, name)
	}
	sort.Slice(keys, func(a, b int) bool {
		if sums[keys[a]] != sums[keys[b]] {
			return sums[keys[a]] > sums[keys[b]]
		}
		return keys[a] < keys[b]
	})
	var out []string
	for _, name := range keys[:min(4, len(keys))] {
		out = append(out, fmt.Sprintf("%s %.0f %%", name, 100*sums[name]/float64(q.Quote.Sums.Net.Minor())))
	}
	return strings.Join(out, ", ")
}

func (w *quoteWriter) tick(k column, a scene.Rect) []scene.Item {
	out := draft.TickBox(a.X, a.Y+1.6, 4.6, false)
	return append(out, scene.T(a.X+7, a.Y+3.9, scene.Remark.Bold(), fmt.Sprintf(tx(w.p).FmtChoose, k.letter)).Amid())
}

// lists say what the price holds and on what terms.
func (w *quoteWriter) lists() {
	say, p, t := tx(w.p), w.p, w.terms
	in, out, terms := t.Included, t.NotIncluded, t.Variation
	added := false
	for _, k := range w.all {
		added = added || k.plan.Count.Purlins > 0
	}
	if len(in) == 0 {
		in = []string{say.IncludeTape, fmt.Sprintf(say.FmtIncludes, p.Count.Panels, kindCount(p, takeoff.Cap), kindCount(p, takeoff.Channel)), say.IncludeWork}
		if added {
			in = append(in, say.IncludePurlins)
		}
	}
	if len(out) == 0 {
		if added {
			out = append(out, say.ExcludeTimber)
		}
		out = append(out, say.ExcludePermit, say.ExcludeFrame, say.ExcludeGutter, say.ExcludeMove)
	}
	if len(terms) == 0 {
		terms = []string{say.TermVariation, say.TermFrame, say.TermWeather}
	}
	if n := t.ValidDays; n > 0 {
		valid := fmt.Sprintf(say.FmtValidDays, n)
		if !w.o.Date.IsZero() {
			valid = fmt.Sprintf(say.FmtValidTo, n, w.o.Date.AddDate(0, 0, n).Format("2006-01-02"))
		}
		terms = append([]string{valid}, terms...)
	}
	w.paper.Columns(6, []float64{1, 1, 1}, func(c *flow.Column) {
		c.Head(say.Included, "")
		c.Bullets(proses(in)...)
	}, func(c *flow.Column) {
		c.Head(say.NotIncluded, "")
		c.Bullets(proses(out)...)
	}, func(c *flow.Column) {
		c.Head(say.TermsHead, "")
		c.Bullets(proses(terms)...)
	})
}
