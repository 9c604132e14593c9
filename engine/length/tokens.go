package length

import (
	"math/big"
	"strings"
)

// tokens splits a normalised, unsigned text into parts, or says why it cannot.
func tokens(s string) (parts []part, why string) {
	rest := s
	for {
		rest = strings.TrimLeft(rest, " ")
		if len(parts) > 0 { // 7'-10 1/2": the hyphen joins feet and inches
			rest = strings.TrimLeft(strings.TrimPrefix(rest, "-"), " ")
		}
		if rest == "" {
			return parts, ""
		}
		var q part
		if q, rest, why = onePart(rest); why != "" {
			return nil, why
		}
		parts = append(parts, q)
		if len(parts) > 2 {
			return nil, "it has more parts than feet and inches"
		}
	}
}

// onePart reads number, optional fraction, optional unit.
func onePart(s string) (q part, rest, why string) {
	num, rest := scan(s, isNumber)
	if num == "" {
		return q, s, "a number is missing at " + clipAt(s)
	}
	if after, ok := strings.CutPrefix(strings.TrimLeft(rest, " "), "/"); ok {
		q.frac, rest, why = fraction(num, after)
		if why != "" {
			return q, s, why
		}
		return unitOf(q, rest)
	}
	num, rest, why = grouped(num, rest)
	if why != "" {
		return q, s, why
	}
	if q.whole, why = decimal(num); why != "" {
		return q, s, why
	}
	if n, tail, ok := fractionAhead(rest); ok {
		q.frac, rest, why = fraction(n, tail)
		if why != "" {
			return q, s, why
		}
	} else if mixed := strings.TrimLeft(rest, " "); strings.HasPrefix(mixed, "-") && len(mixed) > 1 && isDigit(mixed[1]) {
		return q, s, "numbers joined by hyphens can mean feet-inches-sixteenths or inches and a fraction"
	}
	return unitOf(q, rest)
}

// fractionAhead finds the 5/8 of "7 5/8" or "7-5/8" after a whole number.
func fractionAhead(s string) (num, afterSlash string, ok bool) {
	t := strings.TrimLeft(s, " ")
	if u, hyphen := strings.CutPrefix(t, "-"); hyphen {
		t = strings.TrimLeft(u, " ")
	} else if t == s {
		return "", "", false // neither space nor hyphen between
	}
	num, t = scan(t, isDigit)
	t = strings.TrimLeft(t, " ")
	if num == "" || !strings.HasPrefix(t, "/") {
		return "", "", false
	}
	return num, t[1:], true
}

func fraction(num, afterSlash string) (*big.Rat, string, string) {
	den, rest := scan(strings.TrimLeft(afterSlash, " "), isDigit)
	if den == "" || !allDigits(num) || len(num) > 4 || len(den) > 4 {
		return nil, "", "the fraction is not whole number over whole number"
	}
	n, _ := new(big.Int).SetString(num, 10)
	d, _ := new(big.Int).SetString(den, 10)
	switch d.Int64() {
	case 2, 4, 8, 16, 32, 64:
	default:
		return nil, "", "tapes have halves, quarters, eighths, 16ths, 32nds and 64ths, not " + num + "/" + den
	}
	if n.Cmp(d) >= 0 {
		return nil, "", "the fraction " + num + "/" + den + " is one or more"
	}
	return new(big.Rat).SetFrac(n, d), rest, ""
}

// grouped joins 2 400 to 2400 where spaces part thousands.
func grouped(num, rest string) (string, string, string) {
	if len(num) > 3 || !allDigits(num) || !strings.HasPrefix(rest, " ") {
		return num, rest, ""
	}
	t := rest
	joined := num
	for strings.HasPrefix(t, " ") {
		g, tail := scan(t[1:], isNumber)
		head := strings.SplitN(strings.ReplaceAll(g, ",", "."), ".", 2)[0]
		if len(head) != 3 || strings.HasPrefix(strings.TrimLeft(tail, " "), "/") {
			break
		}
		joined, t = joined+g, tail
		if len(g) > 3 {
			break
		}
	}
	return joined, t, ""
}

// decimal reads digits with one point or one decimal comma.
func decimal(s string) (*big.Rat, string) {
	if i := strings.IndexByte(s, ','); i >= 0 {
		if strings.Count(s, ",") > 1 || strings.Contains(s, ".") {
			return nil, "it mixes points and commas"
		}
		if len(s)-i-1 == 3 {
			return nil, "the comma in " + s + " can mean thousands or decimals"
		}
		s = s[:i] + "." + s[i+1:]
	}
	if strings.Count(s, ".") > 1 || strings.Trim(s, ".") == "" || strings.HasSuffix(s, ".") {
		return nil, s + " is not a number"
	}
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		return nil, s + " is not a number"
	}
	return r, ""
}

var unitNames = []struct{ text, unit string }{ // longest first
	{"millimetres", "mm"}, {"millimeters", "mm"}, {"centimetres", "cm"}, {"centimeters", "cm"},
	{"metres", "m"}, {"meters", "m"}, {"metre", "m"}, {"meter", "m"},
	{"inches", "in"}, {"inch", "in"}, {"feet", "ft"}, {"foot", "ft"},
	{"mm", "mm"}, {"cm", "cm"}, {"ft.", "ft"}, {"ft", "ft"}, {"in.", "in"}, {"in", "in"}, {"m", "m"},
	{"'", "ft"}, {`"`, "in"},
}

func unitOf(q part, s string) (part, string, string) {
	t := strings.TrimLeft(s, " ")
	for _, u := range unitNames {
		if rest, ok := strings.CutPrefix(t, u.text); ok && !startsWithLetter(rest) {
			q.unit = u.unit
			return q, rest, ""
		}
	}
	if t != "" && !isDigit(t[0]) && t[0] != '-' {
		return q, s, "the unit is not known at " + clipAt(t)
	}
	if t != "" {
		return q, s, "a number follows a number at " + clipAt(t)
	}
	return q, "", ""
}

func startsWithLetter(s string) bool { return s != "" && s[0] >= 'a' && s[0] <= 'z' }

func clipAt(s string) string {
	r := []rune(s)
	return `"` + string(r[:min(len(r), 12)]) + `"`
}

func scan(s string, ok func(byte) bool) (string, string) {
	i := 0
	for i < len(s) && ok(s[i]) {
		i++
	}
	return s[:i], s[i:]
}

func isDigit(c byte) bool  { return c >= '0' && c <= '9' }
func isNumber(c byte) bool { return isDigit(c) || c == '.' || c == ',' }

func allDigits(s string) bool {
	_, rest := scan(s, isDigit)
	return s != "" && rest == ""
}
