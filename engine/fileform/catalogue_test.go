package fileform_test

import (
	"strings"
	"testing"

	"seamwright/engine/builtin"
	"seamwright/engine/fileform"
)

// Values that cannot be together would come out as a clip that does not enter
// its joint or a saw that eats the sheet. Each row breaks one built-in value.
func TestContradictionsInACatalogue(t *testing.T) {
	twin, triple, rated, shop := string(builtin.File("twin8-600.yaml")), string(builtin.File("triple16-980.yaml")), string(builtin.File("twin10-1000.yaml")), string(builtin.File("shop-inch.yaml"))
	for _, c := range []struct {
		what, file, old, new string
		path                 string // of the problem
		says                 string
		note                 bool
	}{
		{"joint under web", twin, `joint: 1/8"`, `joint: 1/32"`, "systems[0].clip.web", `the web (1/16") is more than the joint (1/32")`, false},
		{"no joint", twin, `joint: 1/8"`, `joint: 0`, "systems[0].clip.web", `the joint (0")`, false},
		{"trimmed over cover", twin, `trimmed_width: 23 5/8"`, `trimmed_width: 24"`, "systems[0].panel.trimmed_width", "trimming an upstand off cannot make a panel wider", false},
		{"overall under cover", twin, `overall_width: 23 11/16"`, `overall_width: 23"`, "systems[0].panel.overall_width", "cannot be less than the width covered", false},
		{"negative width", twin, `upstand: 3/4"`, `upstand: -3/4"`, "systems[0].panel.upstand", "negative", false},
		{"zero upstand", twin, `upstand: 3/4"`, `upstand: 0`, "systems[0].panel.upstand", "zero", false},
		{"zero stock", twin, "{length: 10', price: 48.00}", "{length: 0, price: 48.00}", "systems[0].sheets[1].length", "zero", false},
		{"negative price", twin, "{length: 10', price: 48.00}", "{length: 10', price: -48.00}", "systems[0].sheets[1].price", "negative", false},
		{"same stock twice", twin, "{length: 10', price: 48.00}", "{length: 96, price: 48.00}", "systems[0].sheets[1].length", "8' 0\" is already sold", false},
		{"stock too long", twin, "longest_delivery: 24'", "longest_delivery: 20'", "systems[0].sheets[5].length", "will not be offered", true},
		{"tint twice", twin, "name: opal", "name: clear", "systems[0].tints[1].name", "already names", false},
		{"more light than falls", twin, "light: 80 %", "light: 180 %", "systems[0].tints[0].light", "more light", false},
		{"more screws than holes", twin, "screws_used: 2", "screws_used: 4", "systems[0].clip.screws_used", "4 screws go into 3 holes", false},
		{"no screw", twin, "screws_used: 2", "screws_used: 0", "systems[0].clip.screws_used", "0 screws", false},
		{"holes beyond the flange", twin, `flange_width: 1 1/4"`, `flange_width: 1/2"`, "systems[0].clip.hole_offset", "the holes are in the flange", false},
		{"grip deeper than channel", twin, `depth: 15/16"`, `depth: 1/2"`, "systems[0].channel.grip", "gripped deeper than it can enter", false},
		{"grip under the rule", twin, `grip: 3/4"`, `grip: 1/4"`, "systems[0].channel.grip", "broken on the day of laying", false},
		{"edge distance out of reach", twin, `edge_distance: 3/4"`, `edge_distance: 9"`, "systems[0].channel.edge_distance", "no place for the channel", false},
		{"drip past the free end", twin, `drip: 1"`, `drip: 8"`, "systems[0].rules.drip", "part of the free end", false},
		{"refused over least slope", twin, "refused_slope: 2.4 deg", "refused_slope: 6 deg", "systems[0].rules.refused_slope", "warned of only under 5.0 deg", false},
		{"rip wider than a panel", twin, `least_rip: 4"`, `least_rip: 30"`, "systems[0].rules.least_rip", "no panel at a verge", false},
		{"one wall", twin, "walls: 2", "walls: 1", "systems[0].panel.walls", "no 1 walls", false},
		{"walls without hollow", twin, "outer_wall: 0.5 mm", "outer_wall: 4 mm", "systems[0].panel", "no hollow", false},
		{"walls of another panel", twin, "mass: 1.5 kg/m2", "mass: 2.5 kg/m2", "systems[0].panel.mass", "walls weigh 1.48 kg/m2", true},
		{"half the walls", triple, "middle_wall: 0.25", "middle_wall: 0", "systems[0].panel", "in part", false},
		{"half the stiffness", rated, "bending_across: 54 N m2/m", "bending_across: 0 N m2/m", "systems[0].panel", "all three", false},
		{"Poisson", twin, "poisson: 0.37", "poisson: 0.7", "systems[0].panel.poisson", "0.5", false},
		{"root over thread", twin, "root: 0.135 in", "root: 0.2 in", "systems[0].clip_screw.root", "inside the thread", false},
		{"thread over length", twin, `thread: 1 3/8"`, `thread: 3"`, "systems[0].clip_screw.thread", "part of the screw", false},
		{"empty pack", twin, "plug: {count: 4", "plug: {count: 0", "systems[0].plug.count", "zero", false},
		{"closure not sold", twin, `width: 23 1/2"`, "width: 0", "systems[0].closure", "no width and no stock", false},
		{"closure over cover", twin, `width: 23 1/2"`, `width: 24"`, "systems[0].closure.width", "collide", false},
		{"capacity without factor", rated, "factor: 2.5\n          tests", "factor: 0\n          tests", "systems[0].clip.capacities[0].factor", "needs its factor", false},
		{"same capacity twice", triple, "kind: lateral", "kind: uplift", "systems[0].clip.capacities[1]", "stand in capacities[0]", false},
		{"rating of another clip", rated, "clip: seam clip 10", "clip: seam clip 8", "systems[0].panel.ratings[0].clip", "will not count", true},
		{"kerf eats the stock", shop, `crosscut_kerf: 1/8"`, `crosscut_kerf: 2'`, "shop.crosscut_kerf", "nothing could be cut", false},
		{"currency", shop, "currency: USD", "currency: dollars", "shop.currency", "ISO 4217", false},
		{"no crew", shop, "crew: 2", "crew: 0", "shop.crew", "nobody", false},
		{"tax over all", shop, "tax: 8.25 %", "tax: 825 %", "shop.tax", "825 %", false},
		{"label twice", shop, "label: R2", "label: R1", "shop.rack[1].label", "already names", false},
	} {
		text := strings.Replace(c.file, c.old, c.new, 1)
		if text == c.file {
			t.Fatalf("%s: %q is not in the file", c.what, c.old)
		}
		_, _, ps := fileform.ReadCatalogue("c.yaml", []byte(text))
		found := false
		for _, p := range ps {
			if p.Path == c.path && p.Note == c.note && strings.Contains(p.String(), c.says) {
				found = p.Line > 1 && p.Column > 0
			}
		}
		if !found {
			t.Errorf("%s: want %s: %s, got\n%s", c.what, c.path, c.says, fileform.Text(ps))
		}
	}
}

// Two systems of one name, in one file: the job could not say which it means.
func TestTwoSystemsOfOneName(t *testing.T) {
	_, text, _ := strings.Cut(string(builtin.File("twin8-600.yaml")), "systems:\n")
	double := "seamwright: 1\nunits: inch\nsystems:\n" + text + text
	_, _, ps := fileform.ReadCatalogue("c.yaml", []byte(double))
	if len(ps) != 1 || ps[0].Path != "systems[1].name" || ps[0].Code != "duplicate-name" {
		t.Error(fileform.Text(ps))
	}
	_, _, ps = fileform.ReadCatalogue("c.yaml", []byte("seamwright: 1\nunits: mm\n"))
	if len(ps) != 1 || ps[0].Code != "empty-file" {
		t.Error(fileform.Text(ps))
	}
}

// The other names a job can get wrong.
func TestNamesInAJob(t *testing.T) {
	_, _, ps := fileform.ReadJob("x.yaml", []byte(goodHead+"planes:\n  - {name: p, tapes: {AB: 1}}\n  - {name: p, tapes: {AB: 1}, purlins: {found: [1, 2], found_right: [1]}}\n"))
	if len(ps) != 2 || ps[0].Code != "duplicate-name" || ps[0].Line != 7 || ps[1].Code != "contradiction" || ps[1].Path != "planes[1].purlins.found_right" {
		t.Error(fileform.Text(ps))
	}
}
