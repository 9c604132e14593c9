package httpapi

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"

	"github.com/goccy/go-yaml"

	"seamwright/engine/fileform"
	"seamwright/store"
)

func device(r *http.Request) string { return r.Header.Get("Seamwright-Device") }

func (s *Server) jobs(w http.ResponseWriter, r *http.Request) error {
	list, err := s.Store.Jobs(r.Context(), r.URL.Query().Get("deleted") == "1")
	if err == nil {
		s.send(w, http.StatusOK, map[string]any{"jobs": list})
	}
	return err
}

// incoming is a change as a device sends it.
type incoming struct {
	ID       string          `json:"id"`
	Expected int             `json:"expected"`
	Doc      json.RawMessage `json:"doc"`
	Key      string          `json:"key"`
	After    string          `json:"after"`
	Note     string          `json:"note"`
	Merges   int             `json:"merges"`
}

func (in incoming) change(r *http.Request) store.Change {
	return store.Change{Expected: in.Expected, Doc: in.Doc, Key: in.Key, After: in.After, Note: in.Note, Merges: in.Merges, Device: device(r)}
}

func (s *Server) createJob(w http.ResponseWriter, r *http.Request) error {
	var in incoming
	if err := read(r, &in); err != nil {
		return err
	}
	if in.Expected != 0 || in.Merges != 0 {
		return refusing("request", "PUT /api/jobs/{id} saves over a version", "a new job is made from no version")
	}
	out, err := s.Store.Create(r.Context(), in.ID, in.change(r), false)
	return s.saved(w, out, err, http.StatusCreated)
}

func (s *Server) saved(w http.ResponseWriter, out store.Saved, err error, status int) error {
	if err != nil {
		return err
	}
	if out.Again {
		status = http.StatusOK
	}
	s.send(w, status, out)
	return nil
}

// conflict is the answer to a change made from a version that no longer counts.
type conflict struct {
	store.Saved
	Code    string             `json:"code"`
	Message string             `json:"error"`
	Hint    string             `json:"hint"`
	Changes []store.Difference `json:"changes"` // from the version that counts to yours
}

func (s *Server) saveJob(w http.ResponseWriter, r *http.Request) error {
	var in incoming
	if err := read(r, &in); err != nil {
		return err
	}
	if in.ID != "" && in.ID != r.PathValue("id") {
		return refusing("request", "leave id out", "the job in the address and the one sent are not the same")
	}
	out, err := s.Store.Save(r.Context(), r.PathValue("id"), in.change(r))
	if err != nil || out.Conflict == nil {
		return s.saved(w, out, err, http.StatusOK)
	}
	changes, err := store.Diff(out.Conflict.Doc, out.Version.Doc)
	if err != nil {
		return err
	}
	s.send(w, http.StatusConflict, conflict{out, "conflict",
		fmt.Sprintf("the job has been changed since you read version %d; yours is kept as version %d, and version %d counts", in.Expected, out.Version.N, out.Conflict.N),
		fmt.Sprintf("look at both, then save what shall count with expected %d and merges %d", out.Conflict.N, out.Version.N), changes})
	return nil
}

// whole is a job with one of its versions.
type whole struct {
	Job     store.Job     `json:"job"`
	Version store.Version `json:"version"`
}

func (s *Server) job(w http.ResponseWriter, r *http.Request) error {
	j, err := s.Store.Job(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	v, err := s.Store.Version(r.Context(), j.ID, j.Head)
	if err == nil {
		s.send(w, http.StatusOK, whole{j, v})
	}
	return err
}

func (s *Server) deleteJob(w http.ResponseWriter, r *http.Request) error {
	j, err := s.Store.Delete(r.Context(), r.PathValue("id"))
	if err == nil {
		s.send(w, http.StatusOK, map[string]any{"job": j})
	}
	return err
}

func (s *Server) reviveJob(w http.ResponseWriter, r *http.Request) error {
	j, err := s.Store.Revive(r.Context(), r.PathValue("id"))
	if err == nil {
		s.send(w, http.StatusOK, map[string]any{"job": j})
	}
	return err
}

func (s *Server) duplicateJob(w http.ResponseWriter, r *http.Request) error {
	var in struct {
		Name string `json:"name"`
	}
	if r.ContentLength != 0 {
		if err := read(r, &in); err != nil {
			return err
		}
	}
	out, err := s.Store.Duplicate(r.Context(), r.PathValue("id"), in.Name, device(r))
	return s.saved(w, out, err, http.StatusCreated)
}

func (s *Server) versions(w http.ResponseWriter, r *http.Request) error {
	list, err := s.Store.Versions(r.Context(), r.PathValue("id"))
	if err == nil {
		s.send(w, http.StatusOK, map[string]any{"versions": list})
	}
	return err
}

func (s *Server) version(w http.ResponseWriter, r *http.Request) error {
	n, err := number("the version", r.PathValue("n"))
	if err != nil {
		return err
	}
	v, err := s.Store.Version(r.Context(), r.PathValue("id"), n)
	if err == nil {
		s.send(w, http.StatusOK, map[string]any{"version": v})
	}
	return err
}

func (s *Server) diff(w http.ResponseWriter, r *http.Request) error {
	from, err := number("from", r.URL.Query().Get("from"))
	if err != nil {
		return err
	}
	to, err := number("to", r.URL.Query().Get("to"))
	if err != nil {
		return err
	}
	later, err := s.Store.Version(r.Context(), r.PathValue("id"), to)
	if err != nil {
		return err
	}
	if from == 0 {
		from = later.Parent
	}
	earlier := store.Version{Doc: json.RawMessage("{}")} // before the first version there was nothing
	if from != 0 {
		if earlier, err = s.Store.Version(r.Context(), r.PathValue("id"), from); err != nil {
			return err
		}
	}
	changes, err := store.Diff(earlier.Doc, later.Doc)
	if err == nil {
		s.send(w, http.StatusOK, map[string]any{"from": from, "to": later.N, "changes": changes})
	}
	return err
}

// importJob takes a job file that the reader accepts. The file itself is kept
// beside the document, comments and all.
func (s *Server) importJob(w http.ResponseWriter, r *http.Request) error {
	text, err := body(r)
	if err != nil {
		return err
	}
	name := fileName(r, "job")
	doc, problems := Document(name, text)
	if fileform.Refuses(problems) {
		return &store.Error{Code: store.BadInput, Message: "the job file cannot be used and was not stored", Hint: "mend what the problems name", Problems: problems}
	}
	out, err := s.Store.Create(r.Context(), "", store.Change{Doc: doc, Original: text, Note: "imported from " + name, Device: device(r)}, false)
	return s.saved(w, out, err, http.StatusCreated)
}

// Document turns a job file into the document the store keeps. Readings stay
// as they were typed where that says the same to the reader of job files; else
// the document is in canonical form.
func Document(name string, text []byte) (json.RawMessage, []fileform.Problem) {
	j, _, problems := fileform.ReadJob(name, text)
	if fileform.Refuses(problems) {
		return nil, problems
	}
	canonical := fileform.WriteJSON(&j)
	typed := text
	if !bytes.HasPrefix(bytes.TrimSpace(text), []byte("{")) {
		var err error
		if typed, err = yaml.YAMLToJSON(text); err != nil {
			return canonical, problems
		}
	}
	again, _, ps := fileform.ReadJob("typed.json", typed)
	if fileform.Refuses(ps) || !bytes.Equal(fileform.WriteJSON(&again), canonical) {
		return canonical, problems
	}
	return typed, problems
}

// exportJob sends the job as a file that the command line reads.
func (s *Server) exportJob(w http.ResponseWriter, r *http.Request) error {
	v, err := s.versionAsked(r)
	if err != nil {
		return err
	}
	var head struct{ Name any }
	_ = json.Unmarshal(v.Doc, &head) // a draft may have no name
	name := harmless(fmt.Sprint(head.Name), "roof")
	switch form := r.URL.Query().Get("form"); form {
	case "original":
		b, err := s.Store.Original(r.Context(), r.PathValue("id"), v.N)
		if err != nil {
			return err
		}
		if bytes.HasPrefix(bytes.TrimSpace(b), []byte("{")) {
			sendFile(w, "application/json", name+".json", b)
		} else {
			sendFile(w, yamlKind, name+".yaml", b)
		}
	case "json":
		var b bytes.Buffer
		if err := json.Indent(&b, v.Doc, "", "  "); err != nil {
			return err
		}
		b.WriteByte('\n')
		sendFile(w, "application/json", name+".json", b.Bytes())
	case "", "yaml":
		j, _, problems := fileform.ReadJob("job", v.Doc)
		if fileform.Refuses(problems) {
			return &store.Error{Code: store.BadInput, Message: "the job is not complete enough to be written as YAML", Hint: "mend what the problems name, or take form=json", Problems: problems}
		}
		sendFile(w, yamlKind, name+".yaml", fileform.WriteYAML(&j))
	default:
		return refusing("request", "accepted: yaml, json, original", "there is no form %q", short(form))
	}
	return nil
}
