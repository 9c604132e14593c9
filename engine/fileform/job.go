package fileform

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/engine/job"
)

// CheckJob looks for planes that share a name: every finding, piece and paper
// names its plane, so two of one name could not be told apart. What the
// readings say about the frame is judged by the stages; Source.At gives their
// findings a line. src may be nil.
func CheckJob(j *job.Job, src *Source) []Problem {
	c := newChecker(src, j.Units == "inch")
	names := make([]string, len(j.Planes))
	for i := range j.Planes {
		names[i] = j.Planes[i].Name
	}
	c.unique(names, "planes", "name")
	for i := range j.Planes {
		p := &j.Planes[i].Purlins
		if n := len(p.Right); n > 0 && n != len(p.Found) {
			c.refuse(fmt.Sprintf("planes[%d].purlins.found_right", i), "contradiction", fmt.Sprintf("%d purlins are found on the left and %d on the right", len(p.Found), n), "one distance for each purlin on either side")
		}
		c.asBuilt(&j.Planes[i], fmt.Sprintf("planes[%d]", i))
	}
	return c.done()
}

// asBuilt looks for a pinned set-out of another frame and for rows named twice
// in a list. Whether a seam or purlin of that name exists only the plan knows.
func (c *checker) asBuilt(p *job.Plane, path string) {
	if b := p.Built; b != nil {
		names := p.Corners
		if len(names) == 0 {
			names = []string{"A", "B", "C", "D"}
		}
		var have []string
		for _, k := range b.Corners {
			have = append(have, k.Name)
		}
		if !sameNames(names, have) {
			c.refuse(path+".built.corners", "contradiction", fmt.Sprintf("work began on a frame with the corners %s, but this plane has %s", strings.Join(have, " "), strings.Join(names, " ")),
				"the corners as they were when work began; only where nothing is fixed yet, take the built block out and begin again")
		}
	}
	if a := p.AsBuilt; a != nil {
		c.once(a.Fixed, path+".as_built.fixed", "seam")
		c.once(a.Ripped, path+".as_built.ripped", "panel")
	}
}

// once refuses a name that stands twice in a list.
func (c *checker) once(names []string, path, what string) {
	seen := map[string]bool{}
	for i, n := range names {
		if seen[n] {
			c.refuse(fmt.Sprintf("%s[%d]", path, i), "contradiction", fmt.Sprintf("the %s %s is listed twice", what, n), "each name once")
		}
		seen[n] = true
	}
}

// sameNames compares corner names without regard to order or case.
func sameNames(a, b []string) bool {
	a, b = slices.Clone(a), slices.Clone(b)
	for _, s := range [][]string{a, b} {
		for i := range s {
			s[i] = strings.ToUpper(s[i])
		}
		slices.Sort(s)
	}
	return slices.Equal(a, b)
}
