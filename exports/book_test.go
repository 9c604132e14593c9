package exports

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math/big"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"seamwright/engine/plan"
	"seamwright/papers"
)

// office opens a workbook with Gnumeric's converter, an independent office
// suite, recalculates it, and returns every sheet.
func office(t *testing.T, book []byte) map[string][][]string {
	t.Helper()
	tool(t, "ssconvert")
	dir := t.TempDir()
	in := filepath.Join(dir, "book.xlsx")
	if err := os.WriteFile(in, book, 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("ssconvert", "--recalc", "-S", "-T", "Gnumeric_stf:stf_assistant", "-O", "format=raw separator=, quoting-mode=auto", in, filepath.Join(dir, "%s.txt"))
	cmd.Env = append(os.Environ(), "LC_ALL=C.UTF-8", "HOME="+dir)
	if msg, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("ssconvert: %v\n%s", err, msg)
	}
	out := map[string][][]string{}
	for _, name := range []string{sheetFirst, sheetOrder, sheetLabour, sheetQuote, sheetCuts, sheetStock, sheetMarks} {
		data, err := os.ReadFile(filepath.Join(dir, name+".txt"))
		if err != nil {
			t.Fatal(err)
		}
		r := csv.NewReader(bytes.NewReader(data))
		r.FieldsPerRecord = -1
		if out[name], err = r.ReadAll(); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
	}
	return out
}

func book(t *testing.T, p plan.Plan) []byte {
	t.Helper()
	b, err := Book(p, papers.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// edited changes cells as a person would, and leaves every formula with the
// result it had: only a reader that recalculates can see the change.
func edited(t *testing.T, book []byte, sheet string, cells map[string]int) []byte {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(book))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	before, err := f.GetCellValue(sheetQuote, "C14")
	if err != nil {
		t.Fatal(err)
	}
	for cell, v := range cells {
		if err := f.SetCellValue(sheet, cell, v); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	if after, err := f.GetCellValue(sheetQuote, "C14"); err != nil || after != before || before == "" {
		t.Fatalf("the stored total went from %q to %q (%v): the test would prove nothing", before, after, err)
	}
	return b.Bytes()
}

// cash reads a recalculated cell: a binary number to the nearest hundredth, if
// it is one to a millionth.
func cash(t *testing.T, s string) *big.Rat {
	t.Helper()
	r := exact(t, s)
	c := cents(r)
	if d := new(big.Rat).Sub(r, c); d.Abs(d).Cmp(exact(t, "0.000001")) > 0 {
		t.Fatalf("%s is no whole number of hundredths", s)
	}
	return c
}

func totalOf(t *testing.T, rows [][]string) *big.Rat {
	t.Helper()
	last := rows[len(rows)-1]
	if !strings.HasPrefix(last[0], "Total") {
		t.Fatalf("the last row of the quote is %v", last)
	}
	return cash(t, last[2])
}

// Recalculated elsewhere, the workbook must come to the quote: every sum, to
// the last cent, on every demo job; the cuts must be whole and balance.
func TestBookRecalculatesToTheQuote(t *testing.T) {
	for _, d := range demos(t) {
		s := d.plan.Quote.Sums
		sheets := office(t, book(t, d.plan))
		rows := sheets[sheetQuote]
		cutsAndStock(t, d, sheets)
		want := map[string]string{"Material": s.Material.Text(), "Offcuts worth keeping": s.Offcuts.Text(), "Labour": s.Labour.Text(), "Delivery": s.Delivery.Text(),
			"Overhead": s.Overhead.Text(), "Margin": s.Margin.Text(), "Net": s.Net.Text(), "Tax": s.Tax.Text(), "Total, tax included": s.Total.Text(),
			"Net per square metre covered": d.plan.Quote.PerArea.Text()}
		for _, r := range rows[1:] {
			if w, ok := want[r[0]]; ok {
				delete(want, r[0])
				off := new(big.Rat).Sub(cash(t, r[2]), exact(t, w))
				// The quote takes the reciprocal of the area to six decimals; it may be
				// a hundredth off the division here. It enters no sum.
				if perArea := strings.HasPrefix(r[0], "Net per"); off.Sign() != 0 && (!perArea || off.Abs(off).Cmp(exact(t, "0.01")) > 0) {
					t.Errorf("%s: %s recalculates to %s, the quote says %s", d.name, r[0], r[2], w)
				}
			}
		}
		if len(want) > 0 {
			t.Errorf("%s: the quote sheet lacks %v", d.name, want)
		}
	}
}

// A changed quantity must change the total by what it costs, with overhead,
// margin and tax; worked out here from the shop's rates in exact arithmetic.
func TestBookFollowsAChangedQuantity(t *testing.T) {
	for _, d := range demos(t)[1:3] { // one in euros, one in dollars
		b := book(t, d.plan)
		lines, err := orderLines(d.plan)
		if err != nil {
			t.Fatal(err)
		}
		part := 0
		for lines[part].pack == 0 {
			part++
		}
		// Seven more of the first stock length; so many parts that two more packs are needed.
		more := []int{0, part}
		changed := map[int]int{0: lines[0].quantity + 7, part: lines[part].quantity + 2}
		b = edited(t, b, sheetOrder, map[string]int{"J2": changed[0], fmt.Sprintf("H%d", part+2): changed[part]*lines[part].pack - lines[part].spare})
		rows := office(t, b)[sheetQuote]
		material := exact(t, d.plan.Quote.Sums.Material.Text())
		for _, i := range more {
			each := exact(t, lines[i].each.Text())
			material.Add(material, cents(new(big.Rat).Mul(each, big.NewRat(int64(changed[i]), 1))))
			material.Sub(material, exact(t, lines[i].amount.Text()))
		}
		want := priced(t, d.plan, material)
		if got := totalOf(t, rows); got.Cmp(want) != 0 {
			t.Errorf("%s: with more to buy the total is %s, want %s", d.name, got.FloatString(2), want.FloatString(2))
		}
		if want.Cmp(exact(t, d.plan.Quote.Sums.Total.Text())) <= 0 {
			t.Errorf("%s: buying more costs nothing", d.name)
		}
	}
}

// priced works out the total of a job from its material.
func priced(t *testing.T, p plan.Plan, material *big.Rat) *big.Rat {
	s, shop := p.Quote.Sums, p.System.Shop
	share := func(f float64) *big.Rat { return exact(t, decimals(f, 6)) }
	times := func(a *big.Rat, f float64) *big.Rat { return cents(new(big.Rat).Mul(a, share(f))) }
	work := new(big.Rat).Sub(material, exact(t, s.Offcuts.Text()))
	work.Add(work, exact(t, s.Labour.Text()))
	cost := new(big.Rat).Add(work, times(work, float64(shop.Overhead)))
	cost.Add(cost, exact(t, s.Delivery.Text()))
	net := new(big.Rat).Add(cost, times(cost, float64(shop.Margin)))
	return net.Add(net, times(net, float64(shop.Tax)))
}

// A changed rate runs through every labour line.
func TestBookFollowsAChangedRate(t *testing.T) {
	d := demos(t)[0]
	rows := office(t, edited(t, book(t, d.plan), sheetQuote, map[string]int{"C4": 100}))[sheetLabour]
	sum := new(big.Rat)
	for i, l := range d.plan.Quote.Labour {
		want := cents(new(big.Rat).Mul(exact(t, decimals(l.Hours, 6)), big.NewRat(100, 1)))
		if cash(t, rows[i+1][5]).Cmp(want) != 0 {
			t.Errorf("%s at 100 an hour is %s, want %s", l.What, rows[i+1][5], want.FloatString(2))
		}
		sum.Add(sum, want)
	}
	if last := rows[len(rows)-1]; cash(t, last[5]).Cmp(sum) != 0 {
		t.Errorf("labour adds up to %s, want %s", last[5], sum.FloatString(2))
	}
}

// cutsAndStock: the workbook's cut list holds every piece once, and every stock
// length is accounted for to the last nanometre after recalculation.
func cutsAndStock(t *testing.T, d demo, sheets map[string][][]string) {
	t.Helper()
	var names []string
	for _, r := range sheets[sheetCuts][1:] {
		names = append(names, r[0])
	}
	once(t, d.name, d.plan, names)
	rows := sheets[sheetStock][1:]
	bars := 0
	for _, k := range d.plan.Saw.Kinds {
		bars += len(k.Bars)
	}
	if len(rows) != bars {
		t.Errorf("%s: %d rows for %d stock lengths", d.name, len(rows), bars)
	}
	for _, r := range rows {
		if exact(t, r[11]).Sign() != 0 || exact(t, r[6]).Sign() <= 0 {
			t.Errorf("%s: %s does not balance: %v", d.name, r[0], r)
		}
	}
}

// A plan read back from JSON has lost its rates: better no workbook than one
// whose total is wrong.
func TestBookNeedsTheShop(t *testing.T) {
	p := demos(t)[0].plan
	p.System.Shop.Currency = ""
	if b, err := Book(p, papers.Options{}); err == nil || b != nil {
		t.Error("a workbook was written without rates")
	}
}
