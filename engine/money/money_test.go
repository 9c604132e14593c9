package money

import "testing"

// Binary fractions lose cents; these are sums that a float gets wrong.
func TestDecimalSumsAreExact(t *testing.T) {
	sum := Zero
	for range 1000 {
		a, err := Parse("0.10")
		if err != nil {
			t.Fatal(err)
		}
		sum = sum.Add(a)
	}
	if sum.Text() != "100.00" {
		t.Errorf("a thousand dimes make %s", sum)
	}
	a, _ := Parse("1.005")
	if got := a.Round().Text(); got != "1.01" {
		t.Errorf("1.005 rounds to %s, want 1.01 (halves away from zero)", got)
	}
	if got := FromMinor(-5).Text(); got != "-0.05" {
		t.Errorf("-5 cents are written %s", got)
	}
	b, _ := Parse("19.99")
	if got := b.Scale(0.0825).Text(); got != "1.65" { // 1.649175
		t.Errorf("8.25 %% of 19.99 is %s", got)
	}
}

func TestParseRefuses(t *testing.T) {
	for _, s := range []string{"", "NaN", "1e3", "1,000.00", "$5", "1.23456", "abc"} {
		if a, err := Parse(s); err == nil {
			t.Errorf("%q was read as %s", s, a)
		}
	}
}
