package httpapi

import (
	"net/http"

	"seamwright/store"
)

func (s *Server) build(w http.ResponseWriter, r *http.Request) error {
	b, err := s.Store.Build(r.Context(), r.PathValue("id"))
	if err == nil {
		s.send(w, http.StatusOK, b)
	}
	return err
}

func (s *Server) addTicks(w http.ResponseWriter, r *http.Request) error {
	var in struct {
		Ticks []store.Tick `json:"ticks"`
	}
	if err := read(r, &in); err != nil {
		return err
	}
	b, err := s.Store.AddTicks(r.Context(), r.PathValue("id"), in.Ticks, device(r))
	if err == nil {
		s.send(w, http.StatusOK, b)
	}
	return err
}

func (s *Server) photos(w http.ResponseWriter, r *http.Request) error {
	list, err := s.Store.Photos(r.Context(), r.PathValue("id"))
	if err == nil {
		s.send(w, http.StatusOK, map[string]any{"photos": list})
	}
	return err
}

func (s *Server) addPhoto(w http.ResponseWriter, r *http.Request) error {
	data, err := body(r)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	p, err := s.Store.AddPhoto(r.Context(), r.PathValue("id"), store.Photo{Step: q.Get("step"), Caption: q.Get("caption"), Device: device(r)}, data)
	if err == nil {
		s.send(w, http.StatusCreated, map[string]any{"photo": p})
	}
	return err
}

func (s *Server) photo(w http.ResponseWriter, r *http.Request) error {
	kind, data, err := s.Store.PhotoBytes(r.Context(), r.PathValue("id"), r.PathValue("photo"))
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	_, _ = w.Write(data)
	return nil
}

func (s *Server) deletePhoto(w http.ResponseWriter, r *http.Request) error {
	if err := s.Store.DeletePhoto(r.Context(), r.PathValue("id"), r.PathValue("photo")); err != nil {
		return err
	}
	return s.photos(w, r)
}
