// Package calls is what a page may ask of the engine: texts in, JSON out.
package calls

import (
	"encoding/json"
	"fmt"
	"sort"
	"strconv"
	"strings"
	"sync"

	"seamwright/cmd/seamwright-wasm/screen"
	"seamwright/engine/fileform"
	"seamwright/engine/plan"
	"seamwright/examples"
)

// call is one thing that may be asked.
type call struct {
	args []string
	run  func(s *screen.Screen, a []string) (any, error)
}

var known = map[string]call{
	"plan":      {[]string{"fileName", "jobText"}, func(s *screen.Screen, a []string) (any, error) { return planOf(s, a[0], a[1]), nil }},
	"catalogue": {[]string{"fileName", "fileText"}, useCatalogue},
	"files":     {nil, func(*screen.Screen, []string) (any, error) { return screen.CatalogueFiles(), nil }},
	"view":      {[]string{"request"}, view},
	"compare":   {[]string{"job"}, func(s *screen.Screen, a []string) (any, error) { return s.Compare(a[0]), nil }},
	"curves": {[]string{"job", "plane"}, func(s *screen.Screen, a []string) (any, error) {
		plane, err := strconv.Atoi(a[1])
		return s.Curves(a[0], plane), err
	}},
	"length":   {[]string{"typed", "units"}, func(_ *screen.Screen, a []string) (any, error) { return readLength(a[0], a[1]), nil }},
	"import":   {[]string{"fileName", "fileText"}, func(_ *screen.Screen, a []string) (any, error) { return imported(a[0], a[1]), nil }},
	"export":   {[]string{"job"}, func(_ *screen.Screen, a []string) (any, error) { return exported(a[0]), nil }},
	"starters": {nil, func(*screen.Screen, []string) (any, error) { return starters() }},
}

// Reply types of the calls that have no type of their own.
type (
	// Planned is the reply to "plan".
	Planned struct {
		Plan     *plan.Plan         `json:"plan,omitempty"`
		Problems []fileform.Problem `json:"problems,omitempty"`
	}
	// Length is the reply to "length".
	Length struct {
		Parts   screen.Parts `json:"parts"`
		Text    string       `json:"text"` // as the job file would have it
		Say     string       `json:"say"`
		Trouble string       `json:"trouble"` // what is wrong with it, in words
	}
	// File is the reply to "import" and "export".
	File struct {
		Text     string           `json:"text"`
		Troubles []screen.Trouble `json:"troubles"`
	}
	// Failure is the reply if a call could not be made.
	Failure struct {
		Error string `json:"error"`
	}
)

var load = sync.OnceValues(screen.New) // reading the catalogue costs as much as a plan

// Run makes the call named by the first text. It always returns JSON.
func Run(args []string) string {
	if len(args) == 0 {
		return Failed(accepted())
	}
	c, ok := known[args[0]]
	if !ok || len(args)-1 != len(c.args) {
		return Failed(accepted())
	}
	s, err := load()
	if err != nil {
		return Failed(err.Error())
	}
	out, err := c.run(s, args[1:])
	if err != nil {
		return Failed(err.Error())
	}
	return screen.JSON(out)
}

// Failed is the reply that tells a fault.
func Failed(text string) string { return screen.JSON(Failure{text}) }

func accepted() string {
	var names []string
	for n, c := range known {
		names = append(names, fmt.Sprintf("seamwright(%s)", strings.Join(append([]string{`"` + n + `"`}, c.args...), ", ")))
	}
	sort.Strings(names)
	return "accepted: " + strings.Join(names, ", ")
}

func view(s *screen.Screen, a []string) (any, error) {
	var req screen.Request
	if err := json.Unmarshal([]byte(a[0]), &req); err != nil {
		return nil, fmt.Errorf("the request cannot be read: %w", err)
	}
	return s.View(req), nil
}

// PlanOf plans a job file as the command line does, with the catalogue in use.
func PlanOf(name, text string) (Planned, error) {
	s, err := load()
	if err != nil {
		return Planned{}, err
	}
	return planOf(s, name, text), nil
}

func planOf(s *screen.Screen, name, text string) Planned {
	j, _, problems := fileform.ReadJob(name, []byte(text))
	if fileform.Refuses(problems) {
		return Planned{Problems: problems}
	}
	p := s.Plan(j)
	return Planned{Plan: &p, Problems: problems}
}

func useCatalogue(s *screen.Screen, a []string) (any, error) {
	troubles, err := s.UseCatalogue(a[0], a[1])
	return File{a[1], troubles}, err
}

func readLength(typed, units string) Length {
	parts, text, say, trouble := screen.ReadLength(typed, units)
	return Length{parts, text, say, trouble}
}

func imported(name, text string) File {
	doc, troubles := screen.Import(name, text)
	return File{doc, troubles}
}

func exported(doc string) File {
	text, troubles := screen.Export(doc)
	return File{text, troubles}
}

func starters() (any, error) {
	demos, order := map[string][]byte{}, []string{}
	for _, j := range examples.Jobs() {
		demos[j.Name], order = j.Text, append(order, j.Name)
	}
	return screen.Starters(demos, order), nil
}
