package words

import (
	"regexp"
	"slices"
	"strings"
)

// Say puts a text that comes with a plan into a language. Texts of the engine are
// written in English; a text is translated as a whole, or sentence after sentence,
// and what has no translation stays as it is, so that nothing is ever lost.
func Say(language, s string) string {
	if language != German || s == "" {
		return s
	}
	var out []string
	for rest := s; rest != ""; {
		said, left, ok := german1(rest)
		if !ok {
			return s
		}
		out = append(out, said)
		rest = strings.TrimPrefix(left, " ")
	}
	return strings.Join(out, " ")
}

// german1 translates the longest phrase that a text begins with.
func german1(s string) (said, left string, ok bool) {
	for _, p := range spoken {
		if !strings.HasPrefix(s, p.head) {
			continue
		}
		m := p.find.FindStringSubmatch(s)
		if m == nil {
			continue
		}
		i := 0
		said = verbs.ReplaceAllStringFunc(p.to, func(v string) string {
			if v == "%%" {
				return "%"
			}
			i++
			k := i
			if v[1] >= '1' && v[1] <= '9' { // %2s: the second value
				k = int(v[1] - '0')
			}
			return Say(German, m[k])
		})
		return said, s[len(m[0]):], true
	}
	return "", "", false
}

type phrase struct {
	head string // what stands before the first value
	find *regexp.Regexp
	to   string
}

var verbs = regexp.MustCompile(`%[1-9]?[sd]|%%`)

// spoken are the phrases ready for use, the longest first.
var spoken = func() []phrase {
	var out []phrase
	for _, x := range phrases {
		parts := verbs.Split(x[0], -1)
		kinds := verbs.FindAllString(x[0], -1)
		var b strings.Builder
		value := `(.+?)`
		if strings.HasSuffix(x[0], ".") { // a value of a sentence never holds the end of another
			value = `((?:[^.]|\.\S)+?)`
		}
		b.WriteString("^")
		for i, part := range parts {
			b.WriteString(regexp.QuoteMeta(part))
			switch {
			case i >= len(kinds):
			case strings.HasSuffix(kinds[i], "d"):
				b.WriteString(`(\d+)`)
			case kinds[i] == "%%":
				b.WriteString("%")
			default:
				b.WriteString(value)
			}
		}
		if strings.HasSuffix(x[0], ".") {
			b.WriteString(`(?: |$)`)
		} else {
			b.WriteString("$")
		}
		out = append(out, phrase{parts[0], regexp.MustCompile(b.String()), x[1]})
	}
	slices.SortStableFunc(out, func(a, b phrase) int { return len(b.find.String()) - len(a.find.String()) })
	return out
}()
