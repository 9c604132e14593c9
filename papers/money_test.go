package papers

import (
	"math/big"
	"strings"
	"testing"

	"seamwright/engine/money"
	"seamwright/engine/plan"
)

func cents(r *big.Rat) *big.Rat { // halves away from zero
	x := new(big.Rat).Mul(r, big.NewRat(100, 1))
	two := new(big.Int).Mul(x.Num(), big.NewInt(2))
	if x.Sign() < 0 {
		two.Sub(two, x.Denom())
	} else {
		two.Add(two, x.Denom())
	}
	return new(big.Rat).SetFrac(new(big.Int).Quo(two, new(big.Int).Mul(x.Denom(), big.NewInt(2))), big.NewInt(100))
}

func rat(t *testing.T, s string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		t.Fatalf("%q is no number", s)
	}
	return r
}

// A customer signs the total: it is worked out again from lengths, packs, hours
// and rates, in fractions, without the code that priced it.
func TestTotalWorkedOutAgain(t *testing.T) {
	for name, p := range examplePlans(t) {
		if len(p.Count.Pieces) == 0 {
			continue
		}
		shop := p.System.Shop
		ratio := cents6
		material, labour := new(big.Rat), new(big.Rat)
		for _, l := range p.Quote.Material {
			material.Add(material, cents(new(big.Rat).Mul(rat(t, l.Each.Text()), big.NewRat(int64(l.Count), 1))))
		}
		for _, l := range p.Quote.Labour {
			labour.Add(labour, cents(new(big.Rat).Mul(rat(t, shop.Rate.Text()), cents6(l.Hours))))
		}
		offcuts, delivery := rat(t, p.Quote.Sums.Offcuts.Text()), cents(rat(t, shop.Delivery.Text()))
		cost := new(big.Rat).Sub(material, offcuts)
		cost.Add(cost, labour)
		overhead := cents(new(big.Rat).Mul(cost, ratio(float64(shop.Overhead))))
		cost.Add(cost, delivery)
		cost.Add(cost, overhead)
		net := new(big.Rat).Add(cost, cents(new(big.Rat).Mul(cost, ratio(float64(shop.Margin)))))
		total := new(big.Rat).Add(net, cents(new(big.Rat).Mul(net, ratio(float64(shop.Tax)))))
		if got := rat(t, p.Quote.Sums.Total.Text()); got.Cmp(total) != 0 {
			t.Errorf("%s: total %s, worked out again %s", name, got.FloatString(2), total.FloatString(2))
		}
		x := PartsOf(p)
		if sum := x.Material.Add(x.Labour).Add(x.Delivery).Add(x.Tax); sum.Cmp(x.Total) != 0 {
			t.Errorf("%s: parts of the quote add up to %s, not %s", name, sum, x.Total)
		}
		if x.Waste.Negative() || x.Waste.Cmp(x.Material) > 0 || x.Delivery.Negative() {
			t.Errorf("%s: parts out of range: %+v", name, x)
		}
	}
}

// cents6 takes a ratio or hours to six decimals, as they are priced.
func cents6(f float64) *big.Rat {
	return new(big.Rat).SetFrac(big.NewInt(int64(f*1e6+0.5)), big.NewInt(1e6))
}

// The order must add up to the material of the quote less what comes off the rack.
func TestOrderIsTheMaterialOfTheQuote(t *testing.T) {
	for name, p := range examplePlans(t) {
		sum, want := money.Zero, money.Zero
		for _, l := range supplies(p) {
			sum = sum.Add(l.sum)
		}
		for _, l := range p.Quote.Material {
			if !strings.Contains(l.What, "off the rack") {
				want = want.Add(l.Amount)
			}
		}
		if sum.Cmp(want) != 0 {
			t.Errorf("%s: the order is %s, the quote's material %s", name, sum, want)
		}
	}
}

// A quote of several options prints each total and the difference to the first.
func TestQuoteSetsOptionsSideBySide(t *testing.T) {
	a := framePlan(t, 192, 144, 0.875)
	in := a
	in.System.Tint = "opal"
	in.Quote.Sums.Total = a.Quote.Sums.Total.Add(money.FromMinor(1234))
	made, err := Quote([]plan.Plan{a, in}, Terms{Deposit: 0.4, ValidDays: 30, Variation: []string{"a term of our own"}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, s := range made {
		all = append(all, texts(s)...)
	}
	said := strings.Join(all, "\n")
	for _, want := range []string{amountIn(a, a.Quote.Sums.Total), amountIn(a, in.Quote.Sums.Total), "+12.34", "A term of our own", "Valid 30 days", "clip and screw limit only", "I choose B", "Not checked"} {
		if !strings.Contains(said, want) {
			t.Errorf("the quote does not say %q", want)
		}
	}
}
