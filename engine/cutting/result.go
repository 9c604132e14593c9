package cutting

import "fmt"

// Result is a plan with its proof.
type Result struct {
	Bars []Bar

	Cost         int64 // prices of the opened bars less the value of kept leftovers
	Bound        int64 // no plan costs less
	Proven       bool  // Cost == Bound
	LengthOpened int64
	Patterns     []Pattern // the distinct ways a bar is cut, with counts
	Pairs        []Pair    // rips that share a sheet

	// Unserved lists pieces (then rips) left out because the supply cannot hold
	// them; it is empty unless the error is a *ShortError.
	Unserved     []int
	UnservedRips []int

	Certificate *Certificate
	Nodes       int64
	Work        int64
}

// Words says what the proof is worth.
func (r *Result) Words() string {
	if r.Proven {
		return "proven best"
	}
	return fmt.Sprintf("within %d of the bound", r.Cost-r.Bound)
}

// Pattern is one way of cutting a stock, used Count times. Lengths are the
// finished lengths, longest first.
type Pattern struct {
	Stock   int
	Count   int64
	Lengths []int64
	Counts  []int64
}

// Bar is one opened stock. TrimStart + the cut lengths + KerfLoss + Leftover +
// TrimEnd equal Length exactly.
type Bar struct {
	Stock    int // index into Problem.Stocks
	StockID  string
	Length   int64
	Price    int64
	Rack     bool
	Mark     string // running name of the bar in cutting order: "1", "2", ...
	Cuts     []Cut
	KerfLoss int64

	TrimStart int64
	TrimEnd   int64

	Leftover     int64
	Kept         bool  // Leftover is long enough for the rack
	Value        int64 // what a kept leftover is credited with
	LeftoverMark string
}

// Cut is one blank sawn from a bar: one piece, one rip, or two rips side by side.
type Cut struct {
	Mark   string // bar and running number in it: "3.2"
	Piece  int    // index into Problem.Pieces, -1 for a blank that carries rips
	Pair   int    // index into Result.Pairs, -1 for a piece
	Job    string
	At     int64 // where the blank begins, from the start of the stock
	Length int64
}

// End is the running mark at which the saw cuts this blank off.
func (c Cut) End() int64 { return c.At + c.Length }

// Pair is a blank that carries one or two rips.
type Pair struct {
	First  int // index into Problem.Rips
	Second int // index into Problem.Rips, -1 when First has the sheet to itself
	Length int64
	Turned bool // Second is turned end for end
	// FlushHead is true if the shorter rip lies at the head end of the longer
	// one (of First, when Second is turned); else it lies at the eave end.
	FlushHead bool
}
