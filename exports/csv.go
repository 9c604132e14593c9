package exports

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"

	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/plan"
)

// table writes one header row and records as RFC 4180: comma, CRLF, quotes only
// where needed, UTF-8.
func table(header []string, rows [][]string) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	if err := w.WriteAll(append([][]string{header}, rows...)); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// words makes a text from the job or the catalogue harmless: a spreadsheet runs
// a CSV field that begins like a formula, whoever wrote it.
func words(s string) string {
	if strings.ContainsAny(s[:min(1, len(s))], "=+-@\t\r\n") {
		return "'" + s
	}
	return s
}

func count(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// OrderCSV lists what to buy, one line for each thing and length.
func OrderCSV(p plan.Plan) ([]byte, error) {
	lines, err := orderLines(p)
	if err != nil {
		return nil, err
	}
	currency := p.Quote.Currency
	var rows [][]string
	for i, l := range lines {
		row := []string{strconv.Itoa(i + 1), l.kind, words(l.name), "", "", "", count(l.pack), count(l.counted), count(l.spare),
			strconv.Itoa(l.quantity), l.each.Text(), l.amount.Text()}
		if l.length > 0 {
			row[3], row[4], row[5] = mm(l.length), inches(l.length), feet(p, l.length, length.Down)
		}
		rows = append(rows, row)
	}
	return table([]string{"Line", "Kind", "Item", "Length (mm)", "Length (in)", "Length (ft-in)", "Pack of (pieces)", "Needed (pieces)", "Spare (pieces)",
		"Quantity to buy", "Price each (" + currency + ")", "Amount (" + currency + ")"}, rows)
}

// CutsCSV lists every piece once with its place on a stock length.
func CutsCSV(p plan.Plan) ([]byte, error) {
	var rows [][]string
	for _, r := range cutRows(p) {
		x := r.piece
		row := []string{words(x.ID), x.Kind, words(x.Plane), words(r.material), mm(x.Length), inches(x.Length), feet(p, x.Length, fits(x)),
			"", "", "", "", r.bar, "", count(r.cut), "", "", "", "", mm(r.taken), words(r.remark)}
		if x.Rip != nil {
			row[7], row[8] = mm(x.Rip.EaveWidth), inches(x.Rip.EaveWidth)
			row[9], row[10] = mm(x.Rip.HeadWidth), inches(x.Rip.HeadWidth)
		}
		if r.bar != "" {
			row[12], row[14], row[15], row[16], row[17] = mm(r.barLen), mm(r.at), inches(r.at), mm(r.end), inches(r.end)
		}
		rows = append(rows, row)
	}
	return table([]string{"Piece", "Kind", "Plane", "Material", "Cut length (mm)", "Cut length (in)", "Cut length (ft-in)",
		"Rip at eave, expected (mm)", "Rip at eave, expected (in)", "Rip at head, expected (mm)", "Rip at head, expected (in)",
		"Stock mark", "Stock length (mm)", "Cut number", "Cut from (mm)", "Cut from (in)", "Cut to (mm)", "Cut to (in)", "Taken off stock (mm)", "Remark"}, rows)
}

// MarksCSV lists the running marks of every purlin, on the tape of the job.
func MarksCSV(p plan.Plan) ([]byte, error) {
	var rows [][]string
	for _, r := range markRows(p) {
		rows = append(rows, []string{words(r.plane), r.purlin, r.zero, r.id, r.kind, mm(r.at), inches(r.at), feet(p, r.at, length.Nearest), r.hand})
	}
	return table([]string{"Plane", "Purlin", "Zero at", "Mark", "Kind", "Mark (mm)", "Mark (in)", "Mark (ft-in)", "Clip flange faces"}, rows)
}

// QuoteCSV lists every line of the price. Its amounts add up to the total.
func QuoteCSV(p plan.Plan) ([]byte, error) {
	q, s := p.Quote, p.Quote.Sums
	var rows [][]string
	for _, l := range q.Material {
		rows = append(rows, []string{"material", words(l.What), strconv.Itoa(l.Count), "", l.Each.Text(), l.Amount.Text()})
	}
	for _, l := range q.Labour {
		rows = append(rows, []string{"labour", words(l.What), strconv.Itoa(l.Count), decimals(l.Hours, 6), l.Each.Text(), l.Amount.Text()})
	}
	for _, x := range []struct {
		section, what string
		amount        money.Amount
	}{
		{"credit", "offcuts worth keeping", money.Zero.Sub(s.Offcuts)}, {"delivery", "delivery", s.Delivery}, {"overhead", "overhead", s.Overhead},
		{"margin", "margin", s.Margin}, {"tax", "tax", s.Tax},
	} {
		rows = append(rows, []string{x.section, x.what, "", "", "", x.amount.Text()})
	}
	return table([]string{"Section", "What", "Count", "Time (h of one person)", "Each (" + q.Currency + ")", "Amount (" + q.Currency + ")"}, rows)
}
