package price

import (
	"strings"
	"testing"

	"seamwright/engine/catalogue"
	"seamwright/engine/length"
	"seamwright/engine/money"
	"seamwright/engine/saw"
	"seamwright/engine/takeoff"
)

// What a shop asks for an offcut off its rack is paid by the job that uses it.
// By hand: a sheet of 50.00 and an offcut of 7.50 make 57.50 of material; with
// 10 % overhead and 20 % margin 57.50 × 1.1 × 1.2 = 75.90 net, with 20 % tax
// 91.08.
func TestOffcutsOffTheRackArePaid(t *testing.T) {
	k := saw.Kind{Kind: takeoff.Panel, Name: "panel", Opened: 5 * length.Metre, Used: 4 * length.Metre,
		Bought: []saw.Bought{{Length: 3 * length.Metre, Count: 1, Each: money.FromMinor(5000)}},
		Bars:   []saw.Bar{{Mark: "X1", Length: 3 * length.Metre}, {Mark: "X2", Length: 2 * length.Metre, Rack: "R7", Each: money.FromMinor(750)}}}
	shop := catalogue.Shop{Currency: "EUR", Overhead: 0.1, Margin: 0.2, Tax: 0.2}
	q := Of(takeoff.Count{}, saw.Plan{Kinds: []saw.Kind{k}}, 1, catalogue.System{}, shop, length.WholeMM)
	if got := q.Sums.Material; got.Cmp(money.FromMinor(5750)) != 0 {
		t.Errorf("material %s, want 57.50", got)
	}
	if q.Sums.Net.Cmp(money.FromMinor(7590)) != 0 || q.Sums.Total.Cmp(money.FromMinor(9108)) != 0 {
		t.Errorf("net %s, total %s; want 75.90 and 91.08", q.Sums.Net, q.Sums.Total)
	}
	if len(q.Material) != 2 || !strings.Contains(q.Material[1].What, "R7") {
		t.Errorf("%+v", q.Material)
	}
	sum := money.Zero
	for _, l := range q.Material {
		sum = sum.Add(l.Amount)
	}
	if sum.Cmp(q.Sums.Material) != 0 {
		t.Errorf("lines make %s, the sum says %s", sum, q.Sums.Material)
	}
}
