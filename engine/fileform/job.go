package fileform

import (
	"fmt"

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
	}
	return c.done()
}
