package httpapi

import (
	"net/http"

	"seamwright/engine/builtin"
	"seamwright/engine/fileform"
	"seamwright/store"
)

// catalogueFile is one file of the list: built in, or the firm's own.
type catalogueFile struct {
	store.CatalogueFile
	Builtin bool               `json:"builtin,omitempty"`
	Notes   []fileform.Problem `json:"notes,omitempty"`
}

func (s *Server) catalogues(w http.ResponseWriter, r *http.Request) error {
	own, err := s.Store.Catalogues(r.Context())
	if err != nil {
		return err
	}
	files := []catalogueFile{}
	for _, f := range own {
		f.Text = ""
		files = append(files, catalogueFile{CatalogueFile: f})
	}
	for _, n := range builtin.Names() {
		files = append(files, catalogueFile{CatalogueFile: store.CatalogueFile{Name: n}, Builtin: true})
	}
	s.send(w, http.StatusOK, map[string]any{"files": files})
	return nil
}

func (s *Server) catalogue(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("name")
	f, err := s.Store.Catalogue(r.Context(), name)
	if store.Is(err, store.NotFound) {
		if text, ok := builtinFile(name); ok {
			s.send(w, http.StatusOK, map[string]any{"file": catalogueFile{CatalogueFile: store.CatalogueFile{Name: name, Text: text}, Builtin: true}})
			return nil
		}
	}
	if err == nil {
		s.send(w, http.StatusOK, map[string]any{"file": catalogueFile{CatalogueFile: f}})
	}
	return err
}

// checkCatalogue answers 200 with the problems whether or not the file can be
// used: looking is not an error.
func (s *Server) checkCatalogue(w http.ResponseWriter, r *http.Request) error {
	text, err := body(r)
	if err != nil {
		return err
	}
	_, _, problems := fileform.ReadCatalogue(fileName(r, "catalogue"), text)
	s.send(w, http.StatusOK, map[string]any{"usable": !fileform.Refuses(problems), "problems": problems, "text": fileform.Text(problems)})
	return nil
}

func (s *Server) saveCatalogue(w http.ResponseWriter, r *http.Request) error {
	var in struct {
		Expected int    `json:"expected"`
		Text     string `json:"text"`
	}
	if err := read(r, &in); err != nil {
		return err
	}
	f, notes, err := s.Store.SaveCatalogue(r.Context(), r.PathValue("name"), in.Text, in.Expected, device(r))
	if err == nil {
		s.send(w, http.StatusOK, map[string]any{"file": catalogueFile{CatalogueFile: f, Notes: notes}})
	}
	return err
}

func (s *Server) deleteCatalogue(w http.ResponseWriter, r *http.Request) error {
	n, err := number("expected", r.URL.Query().Get("expected"))
	if err != nil {
		return err
	}
	if err := s.Store.DeleteCatalogue(r.Context(), r.PathValue("name"), n, device(r)); err != nil {
		return err
	}
	return s.catalogues(w, r)
}
