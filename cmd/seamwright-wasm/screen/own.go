package screen

import (
	"slices"

	"seamwright/engine/builtin"
	"seamwright/engine/catalogue"
	"seamwright/engine/fileform"
)

// UseCatalogue puts the firm's own catalogue file over the built-in one, as the
// command line and the server do: systems of the same name are replaced, others
// added, and its shop is used. A file with faults changes nothing and they come
// back; an empty text goes back to the built-in files.
func (s *Screen) UseCatalogue(name, text string) ([]Trouble, error) {
	set, err := builtin.Load()
	if err != nil {
		return nil, err
	}
	var out []Trouble
	var own *catalogue.Shop
	if text != "" {
		f, _, problems := fileform.ReadCatalogue(name, []byte(text))
		for _, p := range problems {
			out = append(out, Trouble{Path: p.Path, Text: p.String(), Note: p.Note})
		}
		if fileform.Refuses(problems) {
			return out, nil
		}
		for _, sys := range f.Systems {
			if i := slices.IndexFunc(set.Systems, func(x catalogue.System) bool { return x.Name == sys.Name }); i >= 0 {
				set.Systems[i] = sys
			} else {
				set.Systems = append(set.Systems, sys)
			}
		}
		own = f.Shop
	}
	s.set, s.shop = set, own
	s.plans = [4]planned{}
	return out, nil
}

// CatalogueFiles are the built-in files: the best start for one of one's own.
func CatalogueFiles() []Starter {
	var out []Starter
	for _, n := range builtin.Names() {
		out = append(out, Starter{Name: n, Doc: string(builtin.File(n))})
	}
	return out
}
