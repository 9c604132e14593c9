package measure

import "strings"

// SamePair reports whether text names the corners a and b in either order:
// AB, BA, A-B, a b.
func SamePair(text, a, b string) bool {
	x, y, ok := SplitPair(text, []string{a, b})
	return ok && x != y
}

// SplitPair takes a pair of corner names apart. Names may be joined, or parted
// by a hyphen, a dash, a slash or a space; case does not matter.
func SplitPair(text string, corners []string) (a, b string, ok bool) {
	t := strings.NewReplacer("-", "", "–", "", "/", "", " ", "").Replace(strings.ToUpper(text))
	for _, x := range corners {
		rest, found := strings.CutPrefix(t, strings.ToUpper(x))
		if !found {
			continue
		}
		for _, y := range corners {
			if rest == strings.ToUpper(y) {
				return x, y, true
			}
		}
	}
	return "", "", false
}
