package httpapi

import (
	"archive/zip"
	"bytes"
	"fmt"
	"net/http"
	"path"
	"strconv"
	"strings"

	"seamwright/engine/fileform"
	"seamwright/engine/plan"
	"seamwright/papers"
	"seamwright/store"
)

// planned is a plan with the notes of its job file, as the page's engine gives
// it.
type planned struct {
	Plan     *plan.Plan         `json:"plan"`
	Problems []fileform.Problem `json:"problems,omitempty"`
}

// fileName is the name that error texts give the file; nothing is opened by it.
func fileName(r *http.Request, otherwise string) string {
	if n := r.URL.Query().Get("file"); n != "" {
		return short(strings.ToValidUTF8(n, "?"))
	}
	return otherwise
}

// ownFiles are the catalogue files asked for; nil means all of the firm's.
func ownFiles(r *http.Request) []string { return r.URL.Query()["catalogue"] }

func (s *Server) planFile(w http.ResponseWriter, r *http.Request) error {
	m, err := s.fromBody(r)
	if err == nil {
		m.send(w, r)
	}
	return err
}

func (s *Server) papersOfFile(w http.ResponseWriter, r *http.Request) error {
	n, err := number("version", r.URL.Query().Get("version"))
	if err != nil {
		return err
	}
	m, err := s.fromBody(r)
	if err != nil {
		return err
	}
	return s.papers(w, r, m.plan, max(n, 1))
}

func (s *Server) fromBody(r *http.Request) (*made, error) {
	text, err := body(r)
	if err != nil {
		return nil, err
	}
	return s.engine.run(r.Context(), fileName(r, "job"), text, ownFiles(r))
}

func (s *Server) planJob(w http.ResponseWriter, r *http.Request) error {
	m, _, err := s.fromStore(r)
	if err == nil {
		m.send(w, r)
	}
	return err
}

func (s *Server) papersOfJob(w http.ResponseWriter, r *http.Request) error {
	m, n, err := s.fromStore(r)
	if err != nil {
		return err
	}
	return s.papers(w, r, m.plan, n)
}

func (s *Server) fromStore(r *http.Request) (*made, int, error) {
	v, err := s.versionAsked(r)
	if err != nil {
		return nil, 0, err
	}
	m, err := s.engine.run(r.Context(), fileName(r, "job"), v.Doc, ownFiles(r))
	return m, v.N, err
}

func (s *Server) versionAsked(r *http.Request) (store.Version, error) {
	n, err := number("version", r.URL.Query().Get("version"))
	if err != nil {
		return store.Version{}, err
	}
	return s.Store.Version(r.Context(), r.PathValue("id"), n)
}

// papers sends one paper, or all of them as a zip.
func (s *Server) papers(w http.ResponseWriter, r *http.Request, p plan.Plan, version int) error {
	made, err := papers.All(p, papers.Options{Version: strconv.Itoa(version)})
	if err != nil {
		return err
	}
	if only := r.URL.Query().Get("only"); only != "" {
		return onePaper(w, made, only)
	}
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range made {
		e, err := z.Create(f.Name)
		if err == nil {
			_, err = e.Write(f.Bytes)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", f.Name, err)
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	sendFile(w, "application/zip", harmless(p.Job.Name, "roof")+fmt.Sprintf("-v%d-papers.zip", version), b.Bytes())
	return nil
}

var paperKinds = map[string]string{".pdf": "application/pdf", ".svg": "image/svg+xml", ".png": "image/png", ".csv": "text/csv; charset=utf-8", ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"}

func onePaper(w http.ResponseWriter, made []papers.File, only string) error {
	var names []string
	for _, f := range made {
		if f.Name != only {
			names = append(names, f.Name)
			continue
		}
		kind, ext := "application/octet-stream", path.Ext(f.Name)
		if k := paperKinds[ext]; k != "" {
			kind = k
		}
		sendFile(w, kind, harmless(strings.TrimSuffix(f.Name, ext), "paper")+ext, f.Bytes)
		return nil
	}
	return refusing(store.NotFound, "this job has "+strings.Join(names, ", "), "there is no paper %q", short(only))
}
