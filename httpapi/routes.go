package httpapi

import (
	"net/http"

	"seamwright/engine/builtin"
	"seamwright/engine/fileform"
	"seamwright/store"
)

// route is one call: what it is, and how much may be sent.
type route struct {
	Method string `json:"method"`
	Path   string `json:"path"`
	Doc    string `json:"doc"`
	limit  int64
	public bool // answers without log-in
	do     func(w http.ResponseWriter, r *http.Request) error
}

// How much a request may hold, in bytes.
const (
	noBody    = 0
	small     = 64 << 10
	fileBody  = 1<<20 + 1 // the reader of files says it better when it is more than it reads
	jobBody   = 4 << 20   // a job of 1 MiB inside JSON
	tickBody  = 10 << 20
	photoBody = store.MaxPhoto + 1
)

// table lists every call. GET /api shows it.
func (s *Server) table() []route {
	return []route{
		{"GET", "/api", "this list", noBody, true, s.list},
		{"GET", "/api/health", "is the server up, which version", noBody, true, s.health},
		{"GET", "/api/session", "is a password needed, am I logged in", noBody, true, s.sessionState},
		{"POST", "/api/session", "log in: {password}", small, true, s.logIn},
		{"DELETE", "/api/session", "log out", noBody, true, s.logOut},
		{"GET", "/api/log-in", "a page to log in at", noBody, true, s.loginForm},
		{"POST", "/api/log-in", "what that page sends", small, true, s.loginSent},

		{"POST", "/api/plan", "plan the job file sent as the body, YAML or JSON; ?file=NAME for the error texts, ?catalogue=NAME (repeated) to use only these own files, ?catalogue= for none", fileBody, false, s.planFile},
		{"POST", "/api/papers", "the papers of the job file sent as the body, as a zip; ?only=site-sheet.pdf for one; ?version=, ?file=, ?catalogue= ", fileBody, false, s.papersOfFile},

		{"GET", "/api/jobs", "the jobs, the last changed first; ?deleted=1 for those taken off the list", noBody, false, s.jobs},
		{"POST", "/api/jobs", "a new job: {doc, id?, key?, note?}; with the same id and key again it is stored once", jobBody, false, s.createJob},
		{"POST", "/api/jobs/import", "a new job from the job file sent as the body; ?file=NAME", fileBody, false, s.importJob},
		{"GET", "/api/jobs/{id}", "a job and the version that counts", noBody, false, s.job},
		{"PUT", "/api/jobs/{id}", "save: {expected, doc, key?, after?, note?, merges?}; after is the key of a save whose answer never came; 409 with both versions if the job has moved on, and yours is kept aside", jobBody, false, s.saveJob},
		{"DELETE", "/api/jobs/{id}", "take a job off the list; nothing is lost", noBody, false, s.deleteJob},
		{"POST", "/api/jobs/{id}/revive", "put a deleted job back", noBody, false, s.reviveJob},
		{"POST", "/api/jobs/{id}/duplicate", "a new job from this one: {name?}", small, false, s.duplicateJob},
		{"GET", "/api/jobs/{id}/versions", "all versions without documents, the newest first", noBody, false, s.versions},
		{"GET", "/api/jobs/{id}/versions/{n}", "one version", noBody, false, s.version},
		{"GET", "/api/jobs/{id}/diff", "what changed between ?from=N and ?to=N; the version before and the one that counts if left out", noBody, false, s.diff},
		{"GET", "/api/jobs/{id}/file", "the job file; ?form=yaml, json or original, ?version=N", noBody, false, s.exportJob},
		{"GET", "/api/jobs/{id}/plan", "the plan; ?version=N, ?catalogue=", noBody, false, s.planJob},
		{"GET", "/api/jobs/{id}/papers", "the papers as a zip; ?only=NAME, ?version=N, ?catalogue=", noBody, false, s.papersOfJob},

		{"GET", "/api/jobs/{id}/build", "how far the building has come", noBody, false, s.build},
		{"POST", "/api/jobs/{id}/build", "ticks: {ticks: [{id, step, done, value?, version, at}]}; sent twice they are stored once", tickBody, false, s.addTicks},
		{"GET", "/api/jobs/{id}/photos", "the photos", noBody, false, s.photos},
		{"POST", "/api/jobs/{id}/photos", "keep the photo sent as the body: JPEG, PNG or WebP, at most 8 MiB; ?step=, ?caption=", photoBody, false, s.addPhoto},
		{"GET", "/api/jobs/{id}/photos/{photo}", "one photo", noBody, false, s.photo},
		{"DELETE", "/api/jobs/{id}/photos/{photo}", "take a photo off the list", noBody, false, s.deletePhoto},

		{"GET", "/api/catalogue", "the built-in files and the firm's own", noBody, false, s.catalogues},
		{"POST", "/api/catalogue/check", "read the catalogue file sent as the body and list its problems; ?file=NAME", fileBody, false, s.checkCatalogue},
		{"GET", "/api/catalogue/{name}", "one file with its text", noBody, false, s.catalogue},
		{"PUT", "/api/catalogue/{name}", "save one of the firm's own: {expected, text}; 409 if it has been saved since", jobBody, false, s.saveCatalogue},
		{"DELETE", "/api/catalogue/{name}", "take one out of use: ?expected=N", noBody, false, s.deleteCatalogue},

		{"GET", "/api/starter", "a commented job file to begin with", noBody, false, s.starter},
		{"GET", "/api/schema/{of}", "the JSON Schema of a job or catalogue file", noBody, false, s.schema},
	}
}

// mux puts the routes together. With a password set, only public routes answer
// without log-in.
func (s *Server) mux() http.Handler {
	open, closed := http.NewServeMux(), http.NewServeMux()
	for _, x := range s.routes {
		mux := closed
		if x.public {
			mux = open
		}
		mux.HandleFunc(x.Method+" "+x.Path, func(w http.ResponseWriter, r *http.Request) {
			r.Body = http.MaxBytesReader(w, r.Body, x.limit)
			if err := x.do(w, r); err != nil {
				s.fail(w, r, err)
			}
		})
	}
	closed.HandleFunc("/api/", func(w http.ResponseWriter, r *http.Request) {
		s.refuse(w, http.StatusNotFound, store.Error{Code: store.NotFound, Message: "there is no " + short(r.Method+" "+r.URL.Path), Hint: "GET /api lists every call"})
	})
	open.Handle("/api/", s.loggedIn(closed))
	if s.password == "" {
		return open
	}
	return s.sessions.LoadAndSave(open)
}

func (s *Server) list(w http.ResponseWriter, r *http.Request) error {
	s.send(w, http.StatusOK, map[string]any{"routes": s.routes})
	return nil
}

func (s *Server) health(w http.ResponseWriter, r *http.Request) error {
	s.send(w, http.StatusOK, map[string]any{"up": true, "version": s.Version})
	return nil
}

func (s *Server) starter(w http.ResponseWriter, r *http.Request) error {
	sendFile(w, yamlKind, "roof.yaml", []byte(fileform.Starter()))
	return nil
}

func (s *Server) schema(w http.ResponseWriter, r *http.Request) error {
	var b []byte
	switch of := r.PathValue("of"); of {
	case "job":
		b = fileform.JobSchema()
	case "catalogue":
		b = fileform.CatalogueSchema()
	default:
		return refusing(store.NotFound, "accepted: job, catalogue", "there is no schema of %q", short(of))
	}
	sendFile(w, "application/schema+json", r.PathValue("of")+".schema.json", b)
	return nil
}

const yamlKind = "application/yaml; charset=utf-8"

func builtinFile(name string) (string, bool) {
	b := builtin.File(name)
	return string(b), b != nil
}
