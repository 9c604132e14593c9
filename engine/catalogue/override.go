package catalogue

// Override puts a user's systems over those in hand: one of the same name takes
// the other's place, any other is added. Neither list is changed.
func Override(have, add []System) []System {
	out := append([]System{}, have...)
next:
	for _, a := range add {
		for i := range out {
			if out[i].Name == a.Name {
				out[i] = a
				continue next
			}
		}
		out = append(out, a)
	}
	return out
}
