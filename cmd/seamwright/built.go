package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"

	"seamwright/engine/asbuilt"
	"seamwright/engine/fileform"
	"seamwright/engine/finding"
	"seamwright/engine/job"
	"seamwright/engine/length"
	"seamwright/engine/plan"
)

type builtCmd struct {
	Job       string   `arg:"" help:"Job file, YAML or JSON; - for standard input."`
	Catalogue []string `short:"c" placeholder:"FILE" help:"Catalogue or shop file; its systems and shop replace the built-in ones. May be repeated."`
	Begin     bool     `help:"Work begins: print the block that pins the set-out, to paste into the job."`
	Write     string   `placeholder:"FILE" help:"With --begin: write the job with that block into a new file."`
	JSON      bool     `name:"json" help:"Print the state of the run as JSON; with --begin the job."`
}

func (c builtCmd) Run(s streams) error {
	if c.Write != "" && !c.Begin {
		return fmt.Errorf("--write belongs to --begin: it writes the job with its set-out pinned\nhint:  seamwright built %s --begin --write %s", c.Job, c.Write)
	}
	data, err := readFile(c.Job)
	if err != nil {
		return err
	}
	in, src, err := loadData(c.Job, data, c.Catalogue, s)
	if err != nil {
		return err
	}
	p := plan.Run(in)
	if c.Begin {
		err = c.begin(in.Job, p, data, src, s)
	} else {
		err = c.state(p, src, s)
	}
	if err == nil && finding.HasStop(p.Findings) {
		err = errStop
	}
	return err
}

// begin pins the set-out. The user's own file is never written.
func (c builtCmd) begin(j job.Job, p plan.Plan, data []byte, src source, s streams) error {
	var fresh []int
	pinned := plan.Begin(j, p)
	for i := range pinned.Planes {
		if j.Planes[i].Built == nil && pinned.Planes[i].Built != nil {
			fresh = append(fresh, i)
		}
	}
	if len(fresh) == 0 {
		if p := unpinned(j); p != "" {
			return fmt.Errorf("%s has no set-out to begin with\nhint:  seamwright plan %s says why", p, c.Job)
		}
		return fmt.Errorf("work has begun already: every plane of %s has its built block\nhint:  only where nothing is fixed yet, take that block out and begin again", c.Job)
	}
	if finding.HasStop(p.Findings) {
		fmt.Fprintf(s.err, "the plan holds a stop; settle it before the first clip: seamwright plan %s\n", c.Job)
	}
	switch {
	case c.Write != "":
		text, kept := withBlocks(c.Job, data, src, pinned, fresh)
		if err := writeNew(c.Write, text); err != nil {
			return err
		}
		if !kept {
			fmt.Fprintln(s.err, "comments of the job file could not be kept")
		}
		fmt.Fprintf(s.err, "wrote %s; %s was left as it is. From now on enter readings there, then: seamwright built %s\n", c.Write, c.Job, c.Write)
		return nil
	case c.JSON:
		_, err := s.out.Write(fileform.WriteJSON(&pinned))
		return err
	}
	for _, i := range fresh {
		fmt.Fprintf(s.out, "# paste into %s under the plane %s, or use --write FILE\n%s", c.Job, pinned.Planes[i].Name, indent(block(pinned.Planes[i].Built), 4))
	}
	return nil
}

func unpinned(j job.Job) string {
	for _, p := range j.Planes {
		if p.Built == nil {
			return p.Name
		}
	}
	return ""
}

// block is the built block alone, as YAML.
func block(b *job.Built) string {
	return "# Written when work began. Rows already fixed are never moved: leave this block as it is.\n" +
		string(fileform.WriteYAML(&struct {
			Built *job.Built `key:"built"`
		}{b}))
}

func indent(text string, by int) string {
	lines := strings.SplitAfter(text, "\n")
	for i, l := range lines {
		if strings.TrimSpace(l) != "" {
			lines[i] = strings.Repeat(" ", by) + l
		}
	}
	return strings.Join(lines, "")
}

// withBlocks puts the blocks into the text of a job after the name of their
// plane, comments and all, if the result reads as the job that is wanted; else
// the job is written anew.
func withBlocks(file string, data []byte, src source, pinned job.Job, fresh []int) ([]byte, bool) {
	want := fileform.WriteJSON(&pinned)
	lines := strings.SplitAfter(strings.TrimRight(string(data), "\n")+"\n", "\n")
	for k := len(fresh) - 1; k >= 0; k-- { // from the foot, so that line numbers stay
		n := src.At(fmt.Sprintf("planes[%d].name", fresh[k])).Line
		if n < 1 || n > len(lines) {
			continue
		}
		at := strings.Index(lines[n-1], "name")
		if at < 0 {
			continue
		}
		lines[n-1] += indent(block(pinned.Planes[fresh[k]].Built), at)
	}
	text := []byte(strings.Join(lines, ""))
	if j, _, problems := fileform.ReadJob(file, text); !fileform.Refuses(problems) && bytes.Equal(fileform.WriteJSON(&j), want) {
		return text, true
	}
	if bytes.HasPrefix(bytes.TrimSpace(data), []byte("{")) {
		return want, true // JSON has no comments
	}
	return fileform.WriteYAML(&pinned), false
}

// writeNew writes a file that does not exist yet, whole or not at all.
func writeNew(name string, text []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if os.IsExist(err) {
		return fmt.Errorf("%s exists and was left as it is\nhint:  choose another name", name)
	}
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		os.Remove(name)
	}
	return err
}

// planeState is what --json prints of one plane.
type planeState struct {
	Plane   string        `json:"plane"`
	Begun   bool          `json:"begun"`
	AsBuilt *plan.AsBuilt `json:"as_built,omitempty"`
}

func (c builtCmd) state(p plan.Plan, src source, s streams) error {
	if c.JSON {
		out := struct {
			Planes   []planeState      `json:"planes"`
			Findings []finding.Finding `json:"findings,omitempty"`
		}{Findings: ofBuilding(p.Findings)}
		for _, x := range p.Planes {
			out.Planes = append(out.Planes, planeState{x.Frame.Plane, x.Begun, x.AsBuilt})
		}
		e := json.NewEncoder(s.out)
		e.SetIndent("", " ")
		e.SetEscapeHTML(false)
		return e.Encode(out)
	}
	return printBuilt(s.out, p, src)
}

// ofBuilding are the findings about the run and what it is held against.
func ofBuilding(fs []finding.Finding) []finding.Finding {
	var out []finding.Finding
	for _, f := range fs {
		for _, head := range []string{"asbuilt.", "built.", "rip."} {
			if strings.HasPrefix(f.Code, head) {
				out = append(out, f)
			}
		}
	}
	return out
}

func printBuilt(w io.Writer, p plan.Plan, src source) error {
	s := screen{w: bufio.NewWriter(w), p: p, tape: p.Job.Tape, src: src}
	title := strings.TrimSpace(p.Job.Number + "  " + p.Job.Name)
	fmt.Fprintln(s.w, title)
	fmt.Fprintln(s.w, strings.Repeat("─", min(wide, max(20, len([]rune(title))))))
	for i := range p.Planes {
		s.builtPlane(&p.Planes[i])
	}
	s.builtFindings()
	s.row("caution", "read from the string, never from row to row; a row once screwed is not argued with. Fragile roof: nobody stands on panels.")
	return s.w.Flush()
}

func (s *screen) builtPlane(p *plan.Plane) {
	label := p.Frame.Plane
	switch {
	case p.Layout == nil:
		s.row(label, "has no set-out; seamwright plan says why")
		return
	case !p.Begun && p.AsBuilt == nil:
		s.row(label, "has not begun. seamwright built JOB --begin pins its set-out, so that nothing moves it any more")
		return
	case p.Begun:
		s.row(label, fmt.Sprintf("begun: %d seams, from %s, laid from the %s; nothing moves a fixed row", len(p.Layout.Seams), p.Layout.Work.Starter, p.Layout.Work.From))
	}
	if p.AsBuilt == nil || p.AsBuilt.Just == "" {
		s.row("", "nothing is read yet: read the first row on the first, a middle and the last purlin, and enter it under as_built: {landings: […]}")
	}
	if p.AsBuilt == nil {
		return
	}
	for _, r := range p.AsBuilt.Runs {
		s.run(p, r)
	}
	for _, c := range p.AsBuilt.Cuts {
		s.cutRip(c)
	}
}

func (s *screen) run(p *plan.Plane, r asbuilt.Run) {
	a := r.Advice
	if a.Verdict == asbuilt.NotRead {
		return
	}
	if a.Verdict != asbuilt.GoOn || r.Front == p.AsBuilt.Just {
		s.advice(a, r.Towards, len(p.AsBuilt.Runs) > 1)
	}
	if a.Verdict == asbuilt.Lift || a.Verdict == asbuilt.ReadAgain {
		return // where the run ends is no use before this is settled
	}
	for _, m := range a.Moves {
		if text := s.newMarks(m); text != "" {
			s.row("new marks", m.Seam+": "+text)
		}
	}
	for _, x := range r.Rips {
		s.row("rip to come", s.ripNext(x))
	}
}

func (s *screen) advice(a asbuilt.Advice, towards string, several bool) {
	text := a.Words
	if several {
		text = "to the " + towards + ": " + text
	}
	s.row(strings.ToUpper(string(a.Verdict)), text)
	if a.Why != "" {
		s.row("", upper(a.Why)+".")
	}
	if a.Do != "" {
		s.row("", a.Do)
	}
}

// newMarks groups neighbouring purlins that read alike; it is empty if the tape
// shows no change.
func (s *screen) newMarks(m asbuilt.Move) string {
	var out []string
	changed := false
	for i := 0; i < len(m.Marks); {
		k, j := m.Marks[i], i
		for j+1 < len(m.Marks) && m.Marks[j+1].At == k.At && s.l(m.Marks[j+1].Planned) == s.l(k.Planned) {
			j++
		}
		t := k.Purlin
		if j > i {
			t += "–" + strings.TrimPrefix(m.Marks[j].Purlin, "PL")
		}
		t += string(tie) + s.l(k.At)
		if was := s.l(k.Planned); was != s.l(k.At) {
			t += string(tie) + "(was" + string(tie) + was + ")"
			changed = true
		}
		out = append(out, t)
		i = j + 1
	}
	if !changed {
		return ""
	}
	return strings.Join(out, " · ")
}

// ripNext is the forecast of an edge panel at its first and last purlin.
func (s *screen) ripNext(x asbuilt.RipForecast) string {
	if len(x.Rows) == 0 {
		return x.Panel + " crosses no purlin: read it in place"
	}
	var at []string
	for i, row := range x.Rows {
		if i != 0 && i != len(x.Rows)-1 {
			continue
		}
		t := fmt.Sprintf("%s %s (%s to %s", row.Purlin, s.l(row.Going.Mean), s.down(row.Going.Low), s.up(row.Going.High))
		if s.l(row.Advised) != s.l(row.Going.Mean) {
			t += ", as advised " + s.l(row.Advised)
		}
		if s.l(row.Planned) != s.l(row.Going.Mean) {
			t += ", planned " + s.l(row.Planned)
		}
		at = append(at, t+")")
	}
	end := "; fits"
	switch {
	case !x.Fits && x.Mends:
		end = "; FITS ONLY IF CORRECTED"
	case !x.Fits:
		end = "; DOES NOT FIT"
	case !x.Sure:
		end = "; fits as things go, not settled yet"
	}
	return x.Panel + " at " + strings.Join(at, ", ") + end
}

func (s *screen) down(x length.Length) string { return s.tied(s.tape.Format(x, length.Down)) }
func (s *screen) up(x length.Length) string   { return s.tied(s.tape.Format(x, length.Up)) }
func (s *screen) tied(t string) string        { return strings.ReplaceAll(t, " ", string(tie)) }

func (s *screen) cutRip(c asbuilt.RipCut) {
	if !c.Cuts {
		s.row("rip", c.Panel+" may not be cut yet: see below")
		return
	}
	text := fmt.Sprintf("%s: %s at the eave end, %s at the head end, one straight cut", c.Panel, s.l(c.Eave.At), s.l(c.Head.At))
	if c.Eave.At == c.Head.At {
		text = fmt.Sprintf("%s: %s wide, one straight cut", c.Panel, s.l(c.Eave.At))
	}
	s.row("rip", text)
}

// builtFindings prints what the run raised beyond its verdicts, and says how
// many stops the plan holds besides.
func (s *screen) builtFindings() {
	said := map[string]bool{"asbuilt.lift": true, "asbuilt.correct": true, "asbuilt.read-again": true, "built.kept": true}
	mine := ofBuilding(s.p.Findings)
	stops := 0
	for _, f := range mine {
		if f.Level == finding.Stop {
			stops--
		}
		if said[f.Code] {
			continue
		}
		text := f.What
		if f.Plane != "" && len(s.p.Planes) > 1 {
			text = f.Plane + ": " + text
		}
		if at := s.at(f); at != "" && f.Level != finding.Note {
			text = at + " " + text
		}
		if f.Why != "" {
			text += ". " + upper(f.Why)
		}
		if f.Do != "" {
			text += ". " + upper(f.Do)
		}
		if row := marks[f.Level] + text; !said[row] { // two rows can have the same wrong purlin
			said[row] = true
			s.row(marks[f.Level], text+".")
		}
	}
	for _, f := range s.p.Findings {
		if f.Level == finding.Stop {
			stops++
		}
	}
	if stops > 0 {
		s.row("STOP", fmt.Sprintf("%s besides, not about this run: seamwright plan says which", count(stops, "stop")))
	}
}
