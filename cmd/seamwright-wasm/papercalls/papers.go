// Package papercalls makes papers for a page. It stands apart from the other
// calls because fonts and PDF weigh more than the engine: the page loads it
// only when papers are asked for.
package papercalls

import (
	"strings"

	"seamwright/cmd/seamwright-wasm/calls"
	"seamwright/cmd/seamwright-wasm/screen"
	"seamwright/papers"
)

type (
	// PaperFile is one paper.
	PaperFile struct {
		Name  string `json:"name"`
		Title string `json:"title"`
		Bytes []byte `json:"bytes"` // base64
	}
	// Papers is the reply to "papers".
	Papers struct {
		Files    []PaperFile      `json:"files"`
		Troubles []screen.Trouble `json:"troubles"`
	}
)

// Run makes the papers of a job: arguments "papers", the job, its version; or the roof in
// space: "solid", the job; or "catalogue" as for the engine.
func Run(args []string) string {
	if len(args) == 3 && args[0] == "catalogue" {
		return calls.Run(args)
	}
	if len(args) == 2 && args[0] == "solid" {
		out, err := solidOf(args[1])
		if err != nil {
			return calls.Failed(err.Error())
		}
		return screen.JSON(out)
	}
	if len(args) != 3 || args[0] != "papers" {
		return calls.Failed(`accepted: seamwrightPapers("papers", job, version) or seamwrightPapers("solid", job)`)
	}
	out, err := papersOf(args[1], args[2])
	if err != nil {
		return calls.Failed(err.Error())
	}
	return screen.JSON(out)
}

// titles name the papers for a person; drawings are named by their file.
var titles = map[string]string{"site-sheet.pdf": "Site sheet", "yard-sheet.pdf": "Yard sheet and labels"}

func papersOf(doc, version string) (Papers, error) {
	p, err := calls.PlanOf("job.json", doc)
	if err != nil {
		return Papers{}, err
	}
	if p.Plan == nil {
		var out Papers
		for _, x := range p.Problems {
			out.Troubles = append(out.Troubles, screen.Trouble{Path: x.Path, Text: x.String(), Note: x.Note})
		}
		return out, nil
	}
	files, err := papers.All(*p.Plan, papers.Options{Version: version})
	if err != nil {
		return Papers{}, err
	}
	var out Papers
	for _, f := range files {
		title := titles[f.Name]
		if title == "" {
			title = strings.TrimSuffix(strings.TrimSuffix(f.Name, ".svg"), ".pdf")
			title = strings.ToUpper(title[:1]) + strings.ReplaceAll(title[1:], "-", " ")
		}
		out.Files = append(out.Files, PaperFile{f.Name, title, f.Bytes})
	}
	return out, nil
}
