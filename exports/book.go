package exports

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"seamwright/engine/finding"
	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/plan"
	"seamwright/engine/sequence"
	"seamwright/papers"
)

// The sheets of the workbook.
const (
	sheetFirst  = "Read first"
	sheetOrder  = "Order"
	sheetLabour = "Labour"
	sheetQuote  = "Quote"
	sheetCuts   = "Cuts"
	sheetStock  = "Stock"
	sheetMarks  = "Marks"
)

// Book writes the lists as an OOXML workbook (ISO/IEC 29500) whose amounts,
// sums and tax are formulas: a changed quantity, price or rate changes the
// total. Each formula carries the plan's own value as its last result, for
// readers that do not calculate.
func Book(p plan.Plan, o papers.Options) ([]byte, error) {
	lines, err := orderLines(p)
	if err != nil {
		return nil, err
	}
	if p.System.Shop.Currency != p.Quote.Currency {
		return nil, fmt.Errorf("the plan carries a quote in %q and a shop in %q: a plan read back from JSON has no rates, plan the job again", p.Quote.Currency, p.System.Shop.Currency)
	}
	w := bookWriter{plan: p, file: excelize.NewFile(), lines: lines}
	defer w.file.Close()
	w.look()
	w.readFirst(o)
	w.order()
	w.labour()
	w.quote()
	w.cuts()
	w.stock()
	w.marks()
	return w.bytes()
}

type bookWriter struct {
	plan  plan.Plan
	file  *excelize.File
	lines []orderLine
	err   error

	plain, head, bold, cash, boldCash, wrap         int // styles
	hours, entry, entryCash, entryShare, entryHours int // the same of cells to be changed, on a pale ground

	materialSum, labourSum string // cells
}

// fail keeps the first error; everything after it is not used.
func (w *bookWriter) fail(err error) {
	if w.err == nil {
		w.err = err
	}
}

func (w *bookWriter) style(s excelize.Style) int {
	id, err := w.file.NewStyle(&s)
	w.fail(err)
	return id
}

func (w *bookWriter) look() {
	font := func(bold bool) *excelize.Font { return &excelize.Font{Family: "Arial", Size: 10, Bold: bold} }
	cash := "#,##0.00##"
	hours := "0.0000"
	rule := []excelize.Border{{Type: "top", Color: "000000", Style: 1}}
	pale := excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"FFF4D6"}}
	w.plain = w.style(excelize.Style{Font: font(false)})
	w.head = w.style(excelize.Style{Font: font(true), Border: []excelize.Border{{Type: "bottom", Color: "000000", Style: 2}}, Alignment: &excelize.Alignment{WrapText: true, Vertical: "bottom"}})
	w.bold = w.style(excelize.Style{Font: font(true), Border: rule})
	w.cash = w.style(excelize.Style{Font: font(false), CustomNumFmt: &cash})
	w.boldCash = w.style(excelize.Style{Font: font(true), CustomNumFmt: &cash, Border: rule})
	w.wrap = w.style(excelize.Style{Font: font(false), Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"}})
	w.entry = w.style(excelize.Style{Font: font(false), Fill: pale})
	w.hours = w.style(excelize.Style{Font: font(false), CustomNumFmt: &hours})
	w.entryHours = w.style(excelize.Style{Font: font(false), Fill: pale, CustomNumFmt: &hours})
	w.entryCash = w.style(excelize.Style{Font: font(false), Fill: pale, CustomNumFmt: &cash})
	w.entryShare = w.style(excelize.Style{Font: font(false), Fill: pale, NumFmt: 10})
}

// sheet is one sheet being written from the top.
type sheet struct {
	*bookWriter
	name string
	out  *excelize.StreamWriter
	row  int // last row written
}

// begin makes a sheet; with a header it has one header row that stays in view.
func (w *bookWriter) begin(name string, widths []float64, header ...string) *sheet {
	if _, err := w.file.NewSheet(name); err != nil {
		w.fail(err)
	}
	orientation, size, fit, tall := "landscape", 9, 1, 0
	if w.plan.Job.Paper == "Letter" {
		size = 1
	}
	yes := true
	w.fail(w.file.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &yes}))
	w.fail(w.file.SetPageLayout(name, &excelize.PageLayoutOptions{Size: &size, Orientation: &orientation, FitToWidth: &fit, FitToHeight: &tall}))
	out, err := w.file.NewStreamWriter(name)
	w.fail(err)
	s := &sheet{bookWriter: w, name: name, out: out}
	for i, x := range widths {
		w.fail(out.SetColWidth(i+1, i+1, x))
	}
	if len(header) > 0 {
		w.fail(out.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}))
		var cells []any
		for _, h := range header {
			cells = append(cells, excelize.Cell{StyleID: w.head, Value: h})
		}
		s.tall(3, cells...)
		w.fail(w.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: "'" + name + "'!$1:$1", Scope: name}))
	}
	return s
}

// put writes the next row.
func (s *sheet) put(cells ...any) { s.tall(1, cells...) }

// tall writes the next row, so many lines of text high.
func (s *sheet) tall(lines int, cells ...any) {
	for i, c := range cells {
		if _, styled := c.(excelize.Cell); !styled && c != nil {
			cells[i] = excelize.Cell{StyleID: s.plain, Value: c}
		}
	}
	s.row++
	s.fail(s.out.SetRow("A"+strconv.Itoa(s.row), cells, excelize.RowOpts{Height: 2 + 13*float64(lines)}))
}

func (s *sheet) end() { s.fail(s.out.Flush()) }

// next names a cell of the next row.
func (s *sheet) next(column string) string { return column + strconv.Itoa(s.row+1) }

// live is an amount with its formula.
func (w *bookWriter) live(formula string, a money.Amount) excelize.Cell {
	return excelize.Cell{StyleID: w.cash, Formula: formula, Value: float(a)}
}

func float(a money.Amount) float64 {
	f, err := strconv.ParseFloat(a.Text(), 64)
	if err != nil {
		panic("exports: an amount is written as no number: " + a.Text())
	}
	return f
}

func (w *bookWriter) num(f float64) excelize.Cell {
	return excelize.Cell{StyleID: w.plain, Value: round(f, 6)}
}

// input is a cell that a person may change.
func (w *bookWriter) input(v any) excelize.Cell { return excelize.Cell{StyleID: w.entry, Value: v} }

func (w *bookWriter) inputCash(a money.Amount) excelize.Cell {
	return excelize.Cell{StyleID: w.entryCash, Value: float(a)}
}

func (w *bookWriter) mm(l length.Length) excelize.Cell { return w.num(l.MM()) }
func (w *bookWriter) in(l length.Length) excelize.Cell { return w.num(l.Inches()) }

func (w *bookWriter) readFirst(o papers.Options) {
	w.fail(w.file.SetSheetName("Sheet1", sheetFirst))
	const wide = 110 // characters
	s := w.begin(sheetFirst, []float64{wide})
	title := func(t string) { s.put(excelize.Cell{StyleID: w.head, Value: t}) }
	say := func(t string) { s.tall(1+len(t)/wide, excelize.Cell{StyleID: w.wrap, Value: t}) }
	p := w.plan
	title(p.Job.Name)
	version := o.Version
	if version == "" {
		version = "1"
	}
	say(fmt.Sprintf("job %s, version %s, plan %s", named("without number", p.Job.Number), version, papers.Hash(p)))
	say("Made for the firm: it shows rates and margin. Change a cell on a pale ground, a quantity, a price or a rate, and the totals follow; saw plan, marks and models do not: for those plan the job again.")
	if finding.HasStop(p.Findings) {
		title("This plan holds a stop: do not order or cut from it")
	}
	if len(p.Findings) > 0 {
		title("Findings")
		for _, f := range p.Findings {
			say(findingLine(f))
		}
	}
	for _, x := range []struct {
		title string
		lines []string
	}{{"Assumed", p.Assumed}, {"Not checked: local code and a licensed professional decide", p.NotChecked}, {"Cautions", sequence.Cautions()},
		{"Panel system", []string{p.System.Title + ": " + p.System.Standing}}} {
		title(x.title)
		for _, l := range x.lines {
			say(l)
		}
	}
	s.end()
}

func (w *bookWriter) order() {
	cur := w.plan.Quote.Currency
	s := w.begin(sheetOrder, []float64{6, 14, 46, 12, 12, 14, 9, 9, 9, 11, 12, 14}, "Line", "Kind", "Item", "Length (mm)", "Length (in)", "Length (ft-in)",
		"Pack of (pieces)", "Needed (pieces)", "Spare (pieces)", "Quantity to buy", "Price each ("+cur+")", "Amount ("+cur+")")
	for i, l := range w.lines {
		row := []any{i + 1, l.kind, l.name, nil, nil, nil, nil, nil, nil, w.input(l.quantity), w.inputCash(l.each), nil}
		if l.length > 0 {
			row[3], row[4], row[5] = w.mm(l.length), w.in(l.length), feet(w.plan, l.length, length.Down)
		} else if l.pack > 0 {
			row[6], row[7], row[8] = l.pack, w.input(l.counted), w.input(l.spare)
			row[9] = excelize.Cell{StyleID: w.entry, Formula: fmt.Sprintf("ROUNDUP((%s+%s)/%s,0)", s.next("H"), s.next("I"), s.next("G")), Value: l.quantity}
		}
		row[11] = w.live(fmt.Sprintf("ROUND(%s*%s,2)", s.next("J"), s.next("K")), l.amount)
		s.put(row...)
	}
	w.materialSum = s.sum(12, "Material", w.plan.Quote.Sums.Material)
	s.end()
}

// sum closes a list with the sum of a column and returns its cell.
func (s *sheet) sum(column int, what string, a money.Amount) string {
	name, err := excelize.ColumnNumberToName(column)
	s.fail(err)
	row := make([]any, column)
	for i := range row {
		row[i] = excelize.Cell{StyleID: s.bold}
	}
	row[0] = excelize.Cell{StyleID: s.bold, Value: what}
	formula, last := "0", s.row
	if last > 1 {
		formula = fmt.Sprintf("SUM(%s2:%s%d)", name, name, last)
	}
	row[column-1] = excelize.Cell{StyleID: s.boldCash, Formula: formula, Value: float(a)}
	s.put(row...)
	return fmt.Sprintf("%s!%s%d", s.name, name, s.row)
}

// rateCell is the hourly rate, which every labour line points at.
const rateCell = sheetQuote + "!$C$4"

func (w *bookWriter) labour() {
	q := w.plan.Quote
	s := w.begin(sheetLabour, []float64{34, 10, 16, 14, 14, 14}, "Task", "Count", "Time each (h of one person)", "Time (h of one person)", "Rate ("+q.Currency+"/h)", "Amount ("+q.Currency+")")
	for _, l := range q.Labour {
		each := 0.0
		if l.Count > 0 {
			each = l.Hours / float64(l.Count)
		}
		s.put(l.What, w.input(l.Count), excelize.Cell{StyleID: w.entryHours, Value: each}, excelize.Cell{StyleID: w.hours, Formula: s.next("B") + "*" + s.next("C"), Value: round(l.Hours, 6)},
			w.live(rateCell, w.plan.System.Shop.Rate), w.live(fmt.Sprintf("ROUND(ROUND(%s,6)*%s,2)", s.next("D"), s.next("E")), l.Amount))
	}
	w.labourSum = s.sum(6, "Labour", q.Sums.Labour)
	s.end()
}

// quote works the price out as package price does, each step rounded to
// hundredths. The rows are fixed: the formulas name them.
func (w *bookWriter) quote() {
	q, sums, shop := w.plan.Quote, w.plan.Quote.Sums, w.plan.System.Shop
	s := w.begin(sheetQuote, []float64{34, 14, 16}, "What", "Share or measure", "Amount ("+q.Currency+")")
	pct := func(f float64) any { return excelize.Cell{StyleID: w.entryShare, Value: round(f, 6)} }
	area := excelize.Cell{StyleID: w.hours, Value: w.plan.Count.Area}
	work := sums.Material.Sub(sums.Offcuts).Add(sums.Labour)
	for _, x := range []struct {
		what   string
		share  any
		amount excelize.Cell
	}{
		{"Material", nil, w.live(w.materialSum, sums.Material)},
		{"Offcuts worth keeping", nil, w.inputCash(sums.Offcuts)},
		{"Hourly rate", nil, w.inputCash(shop.Rate)},
		{"Labour", nil, w.live(w.labourSum, sums.Labour)},
		{"Delivery", nil, w.inputCash(sums.Delivery)},
		{"Material less offcuts, and labour", nil, w.live("C2-C3+C5", work)},
		{"Overhead", pct(float64(shop.Overhead)), w.live("ROUND(C7*B8,2)", sums.Overhead)},
		{"Cost", nil, w.live("C7+C6+C8", work.Add(sums.Delivery).Add(sums.Overhead))},
		{"Margin", pct(float64(shop.Margin)), w.live("ROUND(C9*B10,2)", sums.Margin)},
		{"Net", nil, w.live("C9+C10", sums.Net)},
		{"Tax", pct(float64(shop.Tax)), w.live("ROUND(C11*B12,2)", sums.Tax)},
		{"Net per square metre covered", area, w.live("IF(B13>0,ROUND(C11/B13,2),0)", q.PerArea)},
	} {
		s.put(x.what, x.share, x.amount)
	}
	s.put(excelize.Cell{StyleID: w.bold, Value: "Total, tax included"}, excelize.Cell{StyleID: w.bold},
		excelize.Cell{StyleID: w.boldCash, Formula: "C11+C12", Value: float(sums.Total)})
	s.end()
}

func (w *bookWriter) cuts() {
	s := w.begin(sheetCuts, []float64{12, 10, 12, 34, 11, 11, 13, 11, 11, 11, 11, 9, 11, 8, 11, 11, 11, 40}, "Piece", "Kind", "Plane", "Material", "Cut length (mm)", "Cut length (in)", "Cut length (ft-in)",
		"Rip at eave, expected (mm)", "Rip at eave, expected (in)", "Rip at head, expected (mm)", "Rip at head, expected (in)",
		"Stock mark", "Stock length (mm)", "Cut number", "Cut from (mm)", "Cut to (mm)", "Taken off stock (mm)", "Remark")
	for _, r := range cutRows(w.plan) {
		x := r.piece
		row := []any{x.ID, x.Kind, x.Plane, r.material, w.mm(x.Length), w.in(x.Length), feet(w.plan, x.Length, fits(x)),
			nil, nil, nil, nil, nil, nil, nil, nil, nil, w.mm(r.taken), r.remark}
		if x.Rip != nil {
			row[7], row[8], row[9], row[10] = w.mm(x.Rip.EaveWidth), w.in(x.Rip.EaveWidth), w.mm(x.Rip.HeadWidth), w.in(x.Rip.HeadWidth)
		}
		if r.bar != "" {
			row[11], row[12], row[13], row[14], row[15] = r.bar, w.mm(r.barLen), r.cut, w.mm(r.at), w.mm(r.end)
		}
		s.put(row...)
	}
	s.end()
}

// stock balances every stock length against the cuts: the last column must
// read zero.
func (w *bookWriter) stock() {
	s := w.begin(sheetStock, []float64{9, 10, 34, 11, 14, 11, 13, 11, 11, 11, 12, 12}, "Stock mark", "Kind", "Material", "Length (mm)", "From the rack", "Trim, first end (mm)", "Pieces (mm)", "Saw loss (mm)",
		"Trim, last end (mm)", "Left (mm)", "Offcut to keep", "Not accounted for (mm)")
	for _, b := range barRows(w.plan) {
		pieces := excelize.Cell{StyleID: w.plain, Formula: fmt.Sprintf("SUMIF(%s!$L:$L,%s,%s!$Q:$Q)", sheetCuts, s.next("A"), sheetCuts), Value: round(b.pieces.MM(), 6)}
		n := s.row + 1
		rest := excelize.Cell{StyleID: w.plain, Formula: fmt.Sprintf("ROUND(D%d-F%d-G%d-H%d-I%d-J%d,6)", n, n, n, n, n, n), Value: round((b.length - b.trimStart - b.pieces - b.kerf - b.trimEnd - b.left).MM(), 6)}
		s.put(b.mark, b.kind, b.material, w.mm(b.length), b.rack, w.mm(b.trimStart), pieces, w.mm(b.kerf), w.mm(b.trimEnd), w.mm(b.left), b.kept, rest)
	}
	s.end()
}

func (w *bookWriter) marks() {
	s := w.begin(sheetMarks, []float64{14, 9, 10, 10, 10, 12, 12, 14, 12}, "Plane", "Purlin", "Zero at", "Mark", "Kind", "Mark (mm)", "Mark (in)", "Mark (ft-in)", "Clip flange faces")
	for _, r := range markRows(w.plan) {
		s.put(r.plane, r.purlin, r.zero, r.id, r.kind, w.mm(r.at), w.in(r.at), feet(w.plan, r.at, length.Nearest), r.hand)
	}
	s.end()
}

func (w *bookWriter) bytes() ([]byte, error) {
	yes := true
	w.fail(w.file.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &yes}))
	w.fail(w.file.SetDocProps(&excelize.DocProperties{Title: w.plan.Job.Name, Creator: "Seamwright", Created: "1980-01-01T00:00:00Z", Modified: "1980-01-01T00:00:00Z", Language: "en"}))
	if w.err != nil {
		return nil, w.err
	}
	var b bytes.Buffer
	if err := w.file.Write(&b); err != nil {
		return nil, err
	}
	return settled(b.Bytes())
}

// settled packs the parts of a workbook again in the order of their names, the
// list of content types first: the library writes them in the order of a map.
func settled(book []byte) ([]byte, error) {
	r, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	if err != nil {
		return nil, err
	}
	slices.SortFunc(r.File, func(a, b *zip.File) int { return strings.Compare(a.Name, b.Name) }) // "[" sorts before letters
	var parts []papers.File
	for _, f := range r.File {
		part, err := f.Open()
		if err != nil {
			return nil, err
		}
		data, err := io.ReadAll(part)
		if err != nil {
			return nil, err
		}
		parts = append(parts, papers.File{Name: f.Name, Bytes: data})
	}
	return Zip(parts, time.Time{})
}
