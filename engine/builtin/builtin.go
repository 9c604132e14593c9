// Package builtin carries the panel systems and shops that come with the
// program. All are invented and say so: they show the tool at work and serve
// its tests. A user's own files replace them.
package builtin

import (
	"embed"
	"fmt"
	"path"

	"seamwright/engine/catalogue"
	"seamwright/engine/fileform"
)

//go:embed data/*.yaml
var data embed.FS

// Set is everything that comes with the program.
type Set struct {
	Systems []catalogue.System // in order of file name
	Inch    catalogue.Shop     // dollars, saw and rack in inches
	Metric  catalogue.Shop     // euros, saw and rack in millimetres
}

// System returns the system of that name.
func (s Set) System(name string) (catalogue.System, bool) {
	for _, x := range s.Systems {
		if x.Name == name {
			return x, true
		}
	}
	return catalogue.System{}, false
}

// Shop returns the shop for a job in the given units, "inch" or "mm".
func (s Set) Shop(units string) catalogue.Shop {
	if units == "inch" {
		return s.Inch
	}
	return s.Metric
}

// Load reads the embedded files. An error means that this build of the
// program is broken; the tests read every file.
func Load() (Set, error) {
	var set Set
	for _, name := range Names() {
		f, _, problems := fileform.ReadCatalogue(name, File(name))
		if fileform.Refuses(problems) {
			return Set{}, fmt.Errorf("built-in catalogue: %s", fileform.Text(problems))
		}
		set.Systems = append(set.Systems, f.Systems...)
		switch {
		case f.Shop != nil && f.Units == "inch":
			set.Inch = *f.Shop
		case f.Shop != nil:
			set.Metric = *f.Shop
		}
	}
	return set, nil
}

// Names lists the embedded files in order.
func Names() []string {
	entries, err := data.ReadDir("data")
	if err != nil {
		panic("builtin: the embedded folder is missing: " + err.Error())
	}
	names := make([]string, len(entries))
	for i, e := range entries {
		names[i] = e.Name()
	}
	return names
}

// File returns the text of an embedded file, or nil if there is none of that
// name. It is a user's best start for a catalogue of their own.
func File(name string) []byte {
	b, err := data.ReadFile(path.Join("data", name))
	if err != nil {
		return nil
	}
	return b
}
