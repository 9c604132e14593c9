// Package money holds decimal amounts. Prices are read as written, multiplied
// exactly and rounded by rule once per line, to the minor unit of the currency.
package money

import (
	"fmt"

	"github.com/shopspring/decimal"
)

// Amount is an exact decimal amount in the currency of the shop.
type Amount struct{ d decimal.Decimal }

// Zero is no money.
var Zero = Amount{}

// FromMinor returns n hundredths.
func FromMinor(n int64) Amount { return Amount{decimal.New(n, -2)} }

// Parse reads "12", "12.50" or "-3.125": digits, at most four decimals, no
// grouping, no sign of a currency.
func Parse(s string) (Amount, error) {
	d, err := decimal.NewFromString(s)
	if err != nil || d.Exponent() < -4 || d.Exponent() > 0 || len(s) > 20 {
		return Zero, fmt.Errorf("%q is not an amount of money; accepted: digits with at most four decimals, for example 48.50", s)
	}
	return Amount{d}, nil
}

// Add returns a+b exactly.
func (a Amount) Add(b Amount) Amount { return Amount{a.d.Add(b.d)} }

// Sub returns a-b exactly.
func (a Amount) Sub(b Amount) Amount { return Amount{a.d.Sub(b.d)} }

// Times returns a·n exactly.
func (a Amount) Times(n int64) Amount { return Amount{a.d.Mul(decimal.NewFromInt(n))} }

// Scale returns a·f rounded to hundredths, halves away from zero. f is taken to
// six decimals: a share of 0.1 is a tenth, not its binary neighbour.
func (a Amount) Scale(f float64) Amount {
	return Amount{a.d.Mul(decimal.NewFromFloat(f).Round(6))}.Round()
}

// Per returns a divided by a measure such as an area, rounded to hundredths,
// halves away from zero. f must be above zero.
func (a Amount) Per(f float64) Amount {
	return Amount{a.d.DivRound(decimal.NewFromFloat(f), 12)}.Round()
}

// Round returns a in whole hundredths, halves away from zero (commercial
// rounding; common practice, no source).
func (a Amount) Round() Amount { return Amount{a.d.Round(2)} }

// Minor returns the amount in hundredths after rounding.
func (a Amount) Minor() int64 { return a.d.Round(2).Shift(2).IntPart() }

// Cmp compares a with b: -1, 0 or +1.
func (a Amount) Cmp(b Amount) int { return a.d.Cmp(b.d) }

// IsZero reports whether a is nothing.
func (a Amount) IsZero() bool { return a.d.IsZero() }

// Negative reports whether a is below zero.
func (a Amount) Negative() bool { return a.d.IsNegative() }

// Text writes at least two decimals: 48.50.
func (a Amount) Text() string {
	if a.d.Exponent() < -2 {
		return a.d.String()
	}
	return a.d.StringFixed(2)
}

func (a Amount) String() string { return a.Text() }

// MarshalText writes Text.
func (a Amount) MarshalText() ([]byte, error) { return []byte(a.Text()), nil }

// UnmarshalText reads what Parse reads.
func (a *Amount) UnmarshalText(b []byte) error {
	v, err := Parse(string(b))
	if err == nil {
		*a = v
	}
	return err
}

// Accepts lists the written form.
func (Amount) Accepts() string { return "digits with at most four decimals, for example 48.50" }
