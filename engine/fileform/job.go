package fileform

import (
	"fmt"
	"sort"
	"strings"

	"seamwright/engine/job"
	"seamwright/engine/length"
)

// CheckJob looks for names inside a job that point nowhere: a reading to a
// corner that does not exist, a wall along no edge, two readings of one side
// under two names. Whether the readings make a frame is for the survey to say.
// src gives the places; it may be nil.
func CheckJob(j *job.Job, src *Source) []Problem {
	c := newChecker(src, j.Units == "inch")
	var names []string
	for i := range j.Planes {
		names = append(names, j.Planes[i].Name)
		c.plane(&j.Planes[i], fmt.Sprintf("planes[%d]", i))
	}
	c.unique(names, "planes", "name")
	return c.done()
}

// Corners returns the corner names of a plane: as written, or A B C D.
func Corners(p *job.Plane) []string {
	if len(p.Corners) == 0 {
		return []string{"A", "B", "C", "D"}
	}
	return p.Corners
}

// Pair takes the name of a side or diagonal apart: AB, A-B, P1P2. ok is false
// unless both halves are corners in one way only.
func Pair(name string, corners []string) (from, to string, ok bool) {
	for _, a := range corners {
		rest, found := strings.CutPrefix(name, a)
		if !found {
			continue
		}
		rest = strings.TrimLeft(rest, " -–")
		for _, b := range corners {
			if rest == b && a != b {
				if ok {
					return "", "", false
				}
				from, to, ok = a, b, true
			}
		}
	}
	return from, to, ok
}

func (c *checker) plane(p *job.Plane, path string) {
	corners := Corners(p)
	c.corners(p, corners, path)
	c.tapes(p, corners, path)
	for _, key := range sortedKeys(p.Crossing) {
		c.corner(key, corners, path+".crossing."+key)
	}
	for _, key := range sortedKeys(p.Heights) {
		c.corner(key, corners, path+".heights."+key)
	}
	if p.Eave != "" {
		c.edge(p.Eave, corners, path+".eave")
	}
	if p.Ridge != "" {
		c.edge(p.Ridge, corners, path+".ridge")
	}
	for i, w := range p.Walls {
		c.edge(w, corners, fmt.Sprintf("%s.walls[%d]", path, i))
	}
	if p.Slope == nil && len(p.Heights) < 3 {
		c.refuse(path, "missing", "neither a slope nor three corner heights are given, so nobody knows where the water runs", `slope: 2 in 12, or heights: {A: …, B: …, C: …, D: …}`)
	}
	c.rising(p.Purlins.Found, path+".purlins.found")
	c.rising(p.Purlins.Right, path+".purlins.found_right")
	if n := len(p.Purlins.Right); n > 0 && n != len(p.Purlins.Found) {
		c.refuse(path+".purlins.found_right", "contradiction", fmt.Sprintf("%d purlins are found on the left and %d on the right", len(p.Purlins.Found), n), "one distance for each purlin on either side")
	}
	if p.Rafters != nil {
		c.rising(p.Rafters.At, path+".rafters.at")
	}
}

func (c *checker) corners(p *job.Plane, corners []string, path string) {
	seen := map[string]bool{}
	for i, n := range corners {
		at := fmt.Sprintf("%s.corners[%d]", path, i)
		switch {
		case strings.TrimSpace(n) == "" || strings.ContainsAny(n, " -–"):
			c.refuse(at, "bad-text", quote(n)+" is no name for a corner", "letters and digits, for example A or P1")
		case seen[n]:
			c.refuse(at, "duplicate-name", "the corner "+n+" is listed twice", "each corner once")
		}
		seen[n] = true
	}
	if len(corners) < 3 {
		c.refuse(path+".corners", "range", fmt.Sprintf("%d corners make no plane", len(corners)), "three or more, counter-clockwise from the eave's left")
	}
	for _, key := range sortedKeys(p.Sketch) {
		c.corner(key, corners, path+".sketch."+key)
	}
	if len(corners) <= 4 {
		return
	}
	var missing []string
	for _, n := range corners {
		if _, ok := p.Sketch[n]; !ok {
			missing = append(missing, n)
		}
	}
	if len(missing) > 0 {
		c.refuse(path, "missing", fmt.Sprintf("a plane with %d corners needs a sketch; %s not placed", len(corners), strings.Join(missing, ", ")), "sketch: {A: [0, 0], B: [4000, 0], …}, rough places are enough")
	}
}

func (c *checker) tapes(p *job.Plane, corners []string, path string) {
	first := map[string]string{}
	for _, key := range sortedKeys(p.Tapes) {
		at := path + ".tapes." + key
		a, b, ok := Pair(key, corners)
		if !ok {
			place := c.src.At(at)
			c.add(Problem{Line: place.Line, Column: place.Column, Path: at, Read: key, Code: "unknown-corner",
				Message: quote(key) + " does not name two corners of this plane", DidYouMean: nearest(key, pairs(corners)), Want: "two of " + strings.Join(corners, ", ") + ", for example " + corners[0] + corners[len(corners)/2]})
			continue
		}
		side := min(a, b) + " " + max(a, b)
		if other, dup := first[side]; dup {
			c.refuse(at, "duplicate-key", key+" and "+other+" are the same distance", "one name with both readings, "+other+": [reading, reading]")
		}
		first[side] = key
	}
}

func pairs(corners []string) []string {
	if len(corners) > 12 {
		return nil
	}
	var out []string
	for i, a := range corners {
		for _, b := range corners[i+1:] {
			out = append(out, a+b)
		}
	}
	return out
}

func (c *checker) corner(name string, corners []string, path string) {
	for _, n := range corners {
		if n == name {
			return
		}
	}
	c.refuse(path, "unknown-corner", "there is no corner "+quote(name), oneOf(corners))
}

// edge wants an edge of the outline written in the order of the corners, so
// that CD and DC do not become two edges later.
func (c *checker) edge(name string, corners []string, path string) {
	var edges []string
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		if name == a+b {
			return
		}
		edges = append(edges, a+b)
	}
	p := Problem{Path: path, Code: "unknown-edge", Read: name, Message: quote(name) + " is no edge of this plane", Want: oneOf(edges)}
	for i, a := range corners {
		if b := corners[(i+1)%len(corners)]; name == b+a {
			p.Message = quote(name) + " runs against the order of the corners"
			p.DidYouMean = a + b
		}
	}
	at := c.src.At(path)
	p.Line, p.Column = at.Line, at.Column
	c.add(p)
}

func (c *checker) rising(run []length.Length, path string) {
	for i := 1; i < len(run); i++ {
		if run[i] <= run[i-1] {
			c.refuse(fmt.Sprintf("%s[%d]", path, i), "contradiction", fmt.Sprintf("%s does not lie past the one before it, %s", c.show(run[i]), c.show(run[i-1])), "running distances, each from the same face, growing")
		}
	}
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
