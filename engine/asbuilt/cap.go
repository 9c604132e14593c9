package asbuilt

import (
	"fmt"
	"strings"

	"seamwright/engine/catalogue"
	"seamwright/engine/setout"
)

// Screwed is how many screws one clip has.
type Screwed struct {
	Seam   string `json:"seam"`
	Purlin string `json:"purlin"`
	Screws int    `json:"screws"`
}

// CapState says whether a seam cap may go on.
type CapState struct {
	Cap     string    `json:"cap"`
	Seam    string    `json:"seam"`
	May     bool      `json:"may"`
	Lacking []Screwed `json:"lacking,omitempty"` // clips with too few screws, and how many they have
	ToLay   []string  `json:"to_lay,omitempty"`  // panels of this seam that do not lie yet
	Words   string    `json:"words"`
}

// MayCap says whether the cap of a seam may go on: both its panels lie, and
// every clip under it has its screws, since a cap hides them for good (common
// practice, no source). A clip screwed twice in the list counts its larger
// number.
func MayCap(l setout.Layout, sys catalogue.System, seam string, screwed []Screwed, laid []string) CapState {
	s := CapState{Seam: seam}
	for _, x := range l.Seams {
		if x.ID == seam {
			s.Cap = x.Cap
		}
	}
	if s.Cap == "" {
		s.Words = fmt.Sprintf("There is no seam %q.", seam)
		return s
	}
	has := map[string]int{}
	for _, x := range screwed {
		if x.Seam == seam {
			has[x.Purlin] = max(has[x.Purlin], x.Screws)
		}
	}
	need, clips := max(sys.Clip.ScrewsUsed, 1), 0
	var at []string
	for _, c := range l.Clips {
		if c.Seam != seam {
			continue
		}
		clips++
		if n := has[c.Purlin]; n < need {
			s.Lacking = append(s.Lacking, Screwed{seam, c.Purlin, n})
			at = append(at, c.Purlin)
		}
	}
	lies := map[string]bool{}
	for _, p := range laid {
		lies[p] = true
	}
	for _, p := range append(beside(l, seam, -1), beside(l, seam, 1)...) {
		if !lies[p.ID] {
			s.ToLay = append(s.ToLay, p.ID)
		}
	}
	s.May = clips > 0 && len(s.Lacking) == 0 && len(s.ToLay) == 0
	s.Words = s.words(clips, need, at)
	return s
}

func (s CapState) words(clips, need int, at []string) string {
	switch {
	case s.May:
		return fmt.Sprintf("%s may go on: %d clips, %d screws each.", s.Cap, clips, need)
	case clips == 0:
		return fmt.Sprintf("Not yet: no clip holds %s.", s.Seam)
	case len(at) > 0 && len(s.ToLay) > 0:
		return fmt.Sprintf("Not yet. Clips at %s want %d screws, and %s is not laid.", list(at), need, list(s.ToLay))
	case len(at) > 0:
		return fmt.Sprintf("Not yet. Clips at %s first: %d screws each.", list(at), need)
	}
	return fmt.Sprintf("Not yet. Lay %s first.", list(s.ToLay))
}

// list writes names as a person says them.
func list(s []string) string {
	if n := len(s); n > 1 {
		return strings.Join(s[:n-1], ", ") + " and " + s[n-1]
	}
	return strings.Join(s, "")
}
