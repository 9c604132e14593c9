package fileform

import (
	"encoding/json"
	"reflect"
	"strings"

	"seamwright/engine/length"
	"seamwright/engine/quantity"
)

// nearest returns the accepted word closest to s, or "" if none is near: at
// most one slip in three letters.
func nearest(s string, words []string) string {
	fold := func(s string) string {
		return strings.NewReplacer("-", "_", " ", "_", `"`, "").Replace(strings.ToLower(strings.TrimSpace(s)))
	}
	a := []rune(fold(s))
	if len(a) == 0 || len(a) > 40 {
		return ""
	}
	best, bestAt := 1<<30, ""
	for _, w := range words {
		b := []rune(fold(w))
		dist := slips(a, b)
		allowed := max(len(a), len(b)) / 3 // two letters must be right but for capitals
		if dist <= allowed && dist < best && dist < len(b) {
			best, bestAt = dist, w
		}
	}
	return bestAt
}

// slips is the optimal string alignment distance: letters left out, added,
// exchanged, or two neighbours swapped.
func slips(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}

// guessText returns a text near s that t would accept, or "" if none is
// honest. set is the reader that decides.
func guessText(s string, t reflect.Type, sys length.System, set func(reflect.Value, string) error) string {
	var tries []string
	switch {
	case t == lengthType:
		tries = lengthTries(s)
	case t == amountType:
		tries = amountTries(s)
	default:
		tries = quantityTries(s, t, sys)
	}
	for _, c := range tries {
		if c != "" && c != s && set(reflect.New(t).Elem(), c) == nil {
			return c
		}
	}
	return ""
}

// lengthTries rewrites the slips that have one plain meaning. Not rewritten:
// 1,234 (thousands or decimals) and 7-10-8 (feet-inches-sixteenths, or inches
// and a fraction); only the person with the tape knows.
func lengthTries(s string) []string {
	var tries []string
	if feet, inches, ok := strings.Cut(s, "'"); ok {
		tries = append(tries, carryInches(feet, inches))
	}
	letters := strings.NewReplacer("O", "0", "o", "0", "l", "1", "I", "1").Replace(s)
	if strings.ContainsAny(s, "0123456789") {
		tries = append(tries, letters)
	}
	if f := strings.Fields(s); len(f) > 1 { // 3 1/2 mm, 12 fot
		number := strings.Join(f[:len(f)-1], " ")
		last := f[len(f)-1]
		if u := nearest(last, []string{"mm", "cm", "m", "in", "ft"}); u != "" && u != last {
			tries = append(tries, number+" "+u)
		}
		if last == "mm" {
			tries = append(tries, decimals(number)+" mm")
		}
	}
	tries = append(tries, carryFraction(s))
	if strings.Contains(s, "/") {
		tries = append(tries, s+" in", strings.TrimSpace(s)+`"`)
	}
	return tries
}

// carryInches turns 20' 14" into 21' 2".
func carryInches(feet, inches string) string {
	f, err := length.Parse(feet+" ft", length.NoUnit)
	in := strings.TrimLeft(strings.TrimSpace(inches), "-– ")
	if err != nil || in == "" {
		return ""
	}
	i, err := length.Parse(in, length.InInches)
	if err != nil || (f+i)%length.Inch64th != 0 {
		return ""
	}
	return length.Tape{Tick: length.Inch64th, Inches: true, Feet: true}.Format(f+i, length.Nearest)
}

// carryFraction turns 5 9/8 in into 6 1/8".
func carryFraction(s string) string {
	slash := strings.Index(s, "/")
	if slash < 1 {
		return ""
	}
	head := strings.Fields(strings.ReplaceAll(s[:slash], "-", " "))
	den, unit := s[slash+1:], ""
	if i := strings.IndexFunc(den, func(r rune) bool { return r < '0' || r > '9' }); i >= 0 {
		den, unit = den[:i], strings.TrimSpace(den[i:])
	}
	if len(head) == 0 || len(head) > 2 || (unit != "" && unit != `"` && unit != "in") {
		return ""
	}
	var n, d, w int
	if !small(head[len(head)-1], &n) || !small(den, &d) || d == 0 || 64%d != 0 {
		return ""
	}
	if len(head) == 2 && !small(head[0], &w) {
		return ""
	}
	l := length.Inch*length.Length(w) + length.Inch/length.Length(d)*length.Length(n)
	return length.Tape{Tick: length.Inch64th, Inches: true}.Format(l, length.Nearest)
}

func small(s string, n *int) bool {
	if s == "" || len(s) > 4 || strings.Trim(s, "0123456789") != "" {
		return false
	}
	*n = 0
	for _, c := range s {
		*n = *n*10 + int(c-'0')
	}
	return true
}

// decimals turns "3 1/2" into "3.5" for halves, quarters and eighths.
func decimals(s string) string {
	whole, frac, ok := strings.Cut(s, " ")
	if !ok {
		whole, frac = "0", s
	}
	d := map[string]string{"1/2": "5", "1/4": "25", "3/4": "75", "1/8": "125", "3/8": "375", "5/8": "625", "7/8": "875"}[frac]
	if d == "" {
		return ""
	}
	return whole + "." + d
}

func amountTries(s string) []string {
	bare := strings.Trim(s, " $€£ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz")
	tries := []string{bare}
	if i := strings.LastIndexByte(bare, ','); i >= 0 && !strings.Contains(bare, ".") && len(bare)-i == 3 {
		tries = append(tries, strings.ReplaceAll(bare[:i], ",", "")+"."+bare[i+1:]) // 48,50
	}
	if strings.Contains(bare, ".") {
		tries = append(tries, strings.ReplaceAll(bare, ",", "")) // 1,200.00
	}
	return tries
}

// usUnits is the unit that a person with an inch tape would add.
var usUnits = map[reflect.Type]string{
	reflect.TypeFor[quantity.Temperature](): "F", reflect.TypeFor[quantity.Pressure](): "psf", reflect.TypeFor[quantity.Speed](): "mph",
	reflect.TypeFor[quantity.Force](): "lb", reflect.TypeFor[quantity.LineLoad](): "plf", reflect.TypeFor[quantity.AreaMass](): "lb/ft2",
	reflect.TypeFor[quantity.Stress](): "psi", reflect.TypeFor[quantity.Density](): "lb/ft3",
}

// quantityTries adds a missing unit or mends a misspelt one. A bare share is
// left alone: 0.1 can mean a tenth or a tenth of a per cent.
func quantityTries(s string, t reflect.Type, sys length.System) []string {
	s = strings.TrimSpace(s)
	cut := 0
	for cut < len(s) && strings.IndexByte("+-.0123456789", s[cut]) >= 0 {
		cut++
	}
	number, unit := s[:cut], strings.TrimSpace(s[cut:])
	if t == reflect.TypeFor[quantity.Slope]() {
		rise, run, ok := strings.Cut(strings.Replace(s, "/", ":", 1), ":")
		if ok {
			return []string{strings.TrimSpace(rise) + " in " + strings.TrimSpace(run)}
		}
		return []string{number + " deg"}
	}
	_, names, ok := strings.Cut(accepts(t), "one of ")
	if !ok || number == "" {
		return nil
	}
	units := strings.Split(names, ", ")
	if unit != "" {
		return []string{number + " " + nearest(unit, units)}
	}
	if t == reflect.TypeFor[quantity.Ratio]() {
		return nil
	}
	if us := usUnits[t]; us != "" && sys == length.InInches {
		return []string{number + " " + us}
	}
	return []string{number + " " + units[0]}
}

// guessNumber strips what a number does not need.
func guessNumber(s string) string {
	s = strings.NewReplacer("_", "", " ", "").Replace(strings.TrimPrefix(strings.TrimSpace(s), "+"))
	if strings.Count(s, ",") == 1 && !strings.Contains(s, ".") && len(s)-strings.IndexByte(s, ',') != 4 {
		s = strings.Replace(s, ",", ".", 1) // 1,5; not 1,500
	}
	if strings.HasPrefix(s, ".") {
		s = "0" + s
	}
	neg := strings.HasPrefix(s, "-")
	s = strings.TrimPrefix(s, "-")
	for len(s) > 1 && s[0] == '0' && s[1] >= '0' && s[1] <= '9' {
		s = s[1:]
	}
	if neg {
		s = "-" + s
	}
	return s
}

// fix returns the edit that puts better in the place of n, or none if the text
// of n does not stand there in one piece. bare leaves the new text unquoted.
func (d *decoder) fix(n *node, better string, bare bool) edit {
	switch {
	case bare:
	case d.src.json:
		better = quote(better)
	default:
		better = yamlText(better)
	}
	return d.replace(n, func(string) string { return better })
}

// wrap returns the edit that puts brackets round n.
func (d *decoder) wrap(n *node) edit {
	return d.replace(n, func(raw string) string { return "[" + raw + "]" })
}

func (d *decoder) replace(n *node, with func(raw string) string) edit {
	line := d.src.line(n.at.Line)
	runes := []rune(line)
	from := n.at.Column - 1
	if from < 0 || from > len(runes) || len(runes) > 400 {
		return edit{}
	}
	rest := string(runes[from:])
	end := rawEnd(rest, n)
	if end < 0 {
		return edit{}
	}
	raw := rest[:end]
	return edit{line: line, from: from, to: from + len([]rune(raw)), with: with(raw)}
}

// rawEnd returns how many bytes the text of n takes at the beginning of s, or
// -1 if it is not there.
func rawEnd(s string, n *node) int {
	if !n.quoted {
		if strings.HasPrefix(s, n.text) {
			return len(n.text)
		}
		return -1
	}
	if s == "" || s[0] != '"' && s[0] != '\'' {
		return -1
	}
	for i := 1; i < len(s); i++ {
		switch {
		case s[0] == '"' && s[i] == '\\':
			i++
		case s[i] == s[0] && s[0] == '\'' && i+1 < len(s) && s[i+1] == '\'':
			i++
		case s[i] == s[0]:
			return i + 1
		}
	}
	return -1
}

// quote writes s as a JSON text, which is also a YAML one.
func quote(s string) string {
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(s); err != nil {
		panic("fileform: a string cannot fail to encode: " + err.Error())
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func oneOf(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
