package exports

import (
	"bytes"
	"encoding/csv"
	"math/big"
	"strings"
	"testing"

	"seamwright/engine/plan"
	"seamwright/papers"
)

// records reads a list back with the standard reader, strictly, by header.
func records(t testing.TB, data []byte, err error) []map[string]string {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	// RFC 4180, 2.1: lines end in CRLF, the last one too (it may).
	if n := bytes.Count(data, []byte("\n")); n != bytes.Count(data, []byte("\r\n")) || !bytes.HasSuffix(data, []byte("\r\n")) {
		t.Fatal("a line does not end in CRLF")
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, h := range rows[0] {
			if _, twice := m[h]; twice {
				t.Fatalf("two columns are headed %q", h)
			}
			m[h] = r[i]
		}
		out = append(out, m)
	}
	return out
}

// A buyer who adds the columns up must arrive at the quote, to the last cent.
func TestListsAddUpToTheQuote(t *testing.T) {
	for _, d := range demos(t) {
		cur := " (" + d.plan.Quote.Currency + ")"
		data, err := OrderCSV(d.plan)
		sum := new(big.Rat)
		for _, r := range records(t, data, err) {
			amount := exact(t, r["Amount"+cur])
			want := cents(new(big.Rat).Mul(exact(t, r["Quantity to buy"]), exact(t, r["Price each"+cur])))
			if amount.Cmp(want) != 0 {
				t.Errorf("%s: %s × %s is not %s", d.name, r["Quantity to buy"], r["Price each"+cur], r["Amount"+cur])
			}
			sum.Add(sum, amount)
		}
		if sum.Cmp(exact(t, d.plan.Quote.Sums.Material.Text())) != 0 {
			t.Errorf("%s: the order adds up to %s, the quote says %s", d.name, sum.FloatString(4), d.plan.Quote.Sums.Material)
		}
		data, err = QuoteCSV(d.plan)
		sum.SetInt64(0)
		for _, r := range records(t, data, err) {
			sum.Add(sum, exact(t, r["Amount"+cur]))
		}
		if sum.Cmp(exact(t, d.plan.Quote.Sums.Total.Text())) != 0 {
			t.Errorf("%s: the price lines add up to %s, the total is %s", d.name, sum.FloatString(4), d.plan.Quote.Sums.Total)
		}
	}
}

// The yard cuts from this list: a piece that is missing, twice, or longer than
// its stock is a sheet lost.
func TestCutsHoldEveryPieceOnce(t *testing.T) {
	for _, d := range demos(t) {
		data, err := CutsCSV(d.plan)
		var names []string
		taken, used := map[string]*big.Rat{}, map[string]*big.Rat{}
		for _, r := range records(t, data, err) {
			names = append(names, r["Piece"])
			same(t, d.name+" "+r["Piece"], r["Cut length (mm)"], r["Cut length (in)"])
			if taken[r["Stock mark"]] == nil {
				taken[r["Stock mark"]] = new(big.Rat)
			}
			taken[r["Stock mark"]].Add(taken[r["Stock mark"]], exact(t, r["Taken off stock (mm)"]))
			if exact(t, r["Cut to (mm)"]).Cmp(exact(t, r["Stock length (mm)"])) > 0 {
				t.Errorf("%s: %s is cut past the end of %s", d.name, r["Piece"], r["Stock mark"])
			}
		}
		if len(names) != len(d.plan.Count.Pieces) {
			t.Errorf("%s: %d rows for %d pieces", d.name, len(names), len(d.plan.Count.Pieces))
		}
		once(t, d.name, d.plan, names)
		for _, k := range d.plan.Saw.Kinds {
			for _, b := range k.Bars {
				rest := b.Length - b.TrimStart - b.TrimEnd - b.KerfLoss - b.Left
				used[b.Mark] = exact(t, mm(rest))
				if taken[b.Mark] == nil || taken[b.Mark].Cmp(used[b.Mark]) != 0 {
					t.Errorf("%s: the cuts on %s come to %v, stock less trim, saw loss and rest is %s", d.name, b.Mark, taken[b.Mark], mm(rest))
				}
			}
		}
	}
}

// same holds a metric column against its inch column: 1 in is exactly 25.4 mm.
func same(t *testing.T, what, mm, in string) {
	t.Helper()
	diff := new(big.Rat).Sub(exact(t, mm), new(big.Rat).Mul(exact(t, in), exact(t, "25.4")))
	if diff.Abs(diff).Cmp(exact(t, "0.00002")) > 0 {
		t.Errorf("%s: %s mm is not %s in", what, mm, in)
	}
}

// The marks file must hold what the site sheet shows: every row of the set-out,
// in both unit systems.
func TestMarksOfEveryPurlin(t *testing.T) {
	for _, d := range demos(t) {
		data, err := MarksCSV(d.plan)
		rows := records(t, data, err)
		n := 0
		for _, l := range layouts(d.plan) {
			for _, r := range l.Marks {
				for _, m := range r.Marks {
					if exact(t, rows[n]["Mark (mm)"]).Cmp(exact(t, mm(m.At))) != 0 || rows[n]["Mark"] != m.ID || rows[n]["Purlin"] != r.Purlin {
						t.Errorf("%s: row %d is %v, the mark %s of %s is at %s", d.name, n, rows[n], m.ID, r.Purlin, mm(m.At))
					}
					same(t, m.ID, rows[n]["Mark (mm)"], rows[n]["Mark (in)"])
					n++
				}
			}
		}
		if n != len(rows) {
			t.Errorf("%s: %d rows for %d marks", d.name, len(rows), n)
		}
	}
}

// A catalogue from elsewhere must not run code in the buyer's spreadsheet.
func TestNoListRunsAFormula(t *testing.T) {
	d := demos(t)[0]
	p := d.plan
	p.Saw.Kinds = append(p.Saw.Kinds[:0:0], p.Saw.Kinds...)
	p.Quote.Material = append(p.Quote.Material[:0:0], p.Quote.Material...)
	p.Saw.Kinds[0].Name = `=HYPERLINK("http://invalid","x")`
	for i := range p.Saw.Kinds[0].Bought {
		p.Quote.Material[i].What = p.Saw.Kinds[0].Name + ", 1"
	}
	for name, make := range map[string]func(plan.Plan) ([]byte, error){"order": OrderCSV, "cuts": CutsCSV, "quote": QuoteCSV} {
		data, err := make(p)
		hit := false
		for _, r := range records(t, data, err) {
			for h, v := range r {
				hit = hit || strings.Contains(v, "HYPERLINK")
				if strings.HasPrefix(v, "=") {
					t.Errorf("%s: column %s holds %s", name, h, v)
				}
			}
		}
		if !hit {
			t.Errorf("%s: the text is gone", name)
		}
	}
}

// A quote of another plan would price the wrong things.
func TestOrderRefusesAForeignQuote(t *testing.T) {
	d := demos(t)[0]
	p := d.plan
	p.Quote.Material = p.Quote.Material[1:]
	for name, make := range map[string]func() ([]byte, error){
		"order.csv": func() ([]byte, error) { return OrderCSV(p) }, "lists.xlsx": func() ([]byte, error) { return Book(p, papers.Options{}) },
	} {
		if data, err := make(); err == nil || data != nil {
			t.Errorf("%s was written for a quote that does not belong to the plan", name)
		}
	}
}
