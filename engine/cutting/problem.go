// Package cutting finds the cheapest way to saw a list of pieces from stock
// lengths and from the offcut rack, and proves how good the plan is.
//
// Read problem.go for what goes in, result.go for what comes out, and solve.go
// for the order of work: heuristics, pattern linear program, enumeration of the
// patterns that can still matter, branch and bound. Every bound is re-derived
// in integers from rounded duals, so a plan is called proven only by integer
// arithmetic. Package cutverify checks results and shares no code with this one.
//
// Lengths are int64 counts of one unit (0.125 µm elsewhere in Seamwright, any
// unit here); money is int64 in the smallest coin.
package cutting

// Unlimited is the Supply of a stock length that can be bought in any number.
const Unlimited = -1

// Stock is one kind of bar that can be cut: a sold length, or a rack offcut.
type Stock struct {
	ID     string
	Length int64
	Price  int64 // charged when a bar is opened
	Supply int   // bars at hand, or Unlimited
	Rack   bool  // an offcut from the rack: not bought, but priced for what it is worth
}

// Piece is one finished length that somebody needs.
type Piece struct {
	ID     string
	Job    string
	Length int64
	Due    int // order of need: smaller is earlier; 0 if it does not matter
}

// Hand says which side of the roof a rip closes, and so which upstand it keeps.
type Hand int8

// A left rip keeps the right upstand of its sheet, a right rip the left one.
const (
	Left Hand = iota
	Right
)

func (h Hand) String() string {
	if h == Left {
		return "left"
	}
	return "right"
}

// Rip is an edge panel sawn along the flutes to less than the cover width.
// WidthEave and WidthHead differ on a tapered rip.
type Rip struct {
	ID        string
	Job       string
	Hand      Hand
	Length    int64
	WidthEave int64
	WidthHead int64
	Due       int
}

// Problem is everything that is cut from one profile in one go.
//
// A bar takes pieces l_i if sum(l_i + Kerf) <= usable + Kerf, where usable is
// Length - TrimStart - TrimEnd: n pieces need n cuts, or n-1 when the last one
// ends exactly at the end of the usable length.
//
// A leftover r >= KeepMin (KeepMin > 0) goes back to the rack and is worth
// floor(r * KeepValue / KeepPer), but never more than the bar it came from.
type Problem struct {
	Stocks []Stock
	Pieces []Piece // full-width panels, caps, channels, closures
	Rips   []Rip

	Kerf      int64
	TrimStart int64
	TrimEnd   int64

	KeepMin   int64
	KeepValue int64
	KeepPer   int64

	SheetWidth int64 // cover width a pair of rips shares
	RipKerf    int64 // loss of the rip saw
	Turnable   bool  // a strip may be turned end for end, which swaps its hand
}

// Options bound the search. They change how far it goes, never whether the
// answer is right.
type Options struct {
	// Work is the number of elementary steps (about a nanosecond each) after
	// which the search stops with the gap it has proved; 0 means DefaultWork.
	// It counts arithmetic, not time, so the result does not depend on the
	// machine.
	Work int64
	// MaxPatterns caps the patterns enumerated at once; 0 means the default.
	MaxPatterns int
	// Cancel, if set, is polled; when it returns true the best plan so far is
	// returned with the gap proved so far.
	Cancel func() bool
	// SkipTies leaves out the search for shorter, fewer and more alike bars
	// among plans of equal cost.
	SkipTies bool
}

// DefaultWork is about two seconds of arithmetic on a desktop processor.
const DefaultWork = 2_000_000_000

const defaultMaxPatterns = 400_000
