// Package examples carries the demo jobs inside the program: invented
// scenarios that show the tool at work on first start.
package examples

import "embed"

//go:embed *.yaml
var files embed.FS

// Job is one demo job file.
type Job struct {
	Name string // file name
	Text []byte // YAML
}

// Jobs lists the demo jobs in order of file name.
func Jobs() []Job {
	entries, err := files.ReadDir(".")
	if err != nil {
		panic("examples: the embedded folder is missing: " + err.Error())
	}
	var out []Job
	for _, e := range entries {
		b, err := files.ReadFile(e.Name())
		if err != nil {
			panic("examples: " + err.Error())
		}
		out = append(out, Job{e.Name(), b})
	}
	return out
}
