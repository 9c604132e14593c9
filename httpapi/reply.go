package httpapi

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"

	"seamwright/engine/fileform"
	"seamwright/store"
)

// refusal is every answer that is not what was asked for.
type refusal struct {
	store.Error
	Text string `json:"text,omitempty"` // the problems as the command line prints them
}

var failed = store.Error{Code: "failed", Message: "the server failed at this request; nothing was stored", Hint: "the server's log says why; report it with what you sent"}

var statuses = map[string]int{
	store.NotFound: http.StatusNotFound,
	store.Exists:   http.StatusConflict,
	store.Stale:    http.StatusConflict,
	store.TooBig:   http.StatusRequestEntityTooLarge,
	store.BadInput: http.StatusUnprocessableEntity,
	"request":      http.StatusBadRequest,
	"login":        http.StatusUnauthorized,
	"too-often":    http.StatusTooManyRequests,
	"busy":         http.StatusServiceUnavailable,
	"no-password":  http.StatusConflict,
}

func refusing(code, hint, format string, args ...any) error {
	return &store.Error{Code: code, Message: fmt.Sprintf(format, args...), Hint: hint}
}

// fail answers with an error: a refusal in full, anything else only in the log.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	var known *store.Error
	var big *http.MaxBytesError
	switch {
	case errors.As(err, &known) && statuses[known.Code] != 0:
		s.refuse(w, statuses[known.Code], *known)
	case errors.As(err, &big):
		s.refuse(w, http.StatusRequestEntityTooLarge, store.Error{Code: store.TooBig, Message: fmt.Sprintf("more than %d bytes were sent", big.Limit), Hint: "send less at once"})
	case r.Context().Err() != nil:
		// The other side has gone; nobody reads an answer.
	default:
		s.Log.Error("request failed", "method", r.Method, "path", r.URL.Path, "error", err)
		s.refuse(w, http.StatusInternalServerError, failed)
	}
}

func (s *Server) refuse(w http.ResponseWriter, status int, e store.Error) {
	s.send(w, status, refusal{e, fileform.Text(e.Problems)})
}

// send writes JSON.
func (s *Server) send(w http.ResponseWriter, status int, v any) {
	b, err := encode(v)
	if err != nil {
		s.Log.Error("an answer cannot be written", "error", err)
		status = http.StatusInternalServerError
		b, _ = encode(failed)
	}
	sendJSON(w, status, b)
}

func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return b.Bytes(), err
}

func sendJSON(w http.ResponseWriter, status int, b []byte) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.Header().Set("Content-Length", strconv.Itoa(len(b)))
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, _ = w.Write(b)
}

// sendFile writes a file for keeping. The name is made of harmless letters.
func sendFile(w http.ResponseWriter, kind, name string, data []byte) {
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Length", strconv.Itoa(len(data)))
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	w.Header().Set("Cache-Control", "no-store")
	_, _ = w.Write(data)
}

// harmless turns a job's name into one a file may have anywhere.
func harmless(name, otherwise string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	out := strings.Trim(b.String(), "-")
	if len(out) > 60 {
		out = strings.Trim(out[:60], "-")
	}
	if out == "" {
		return otherwise
	}
	return out
}

// read fills into from the JSON of a request. Unknown fields are refused: a
// slip in "expected" must not save over somebody's work.
func read(r *http.Request, into any) error {
	d := json.NewDecoder(r.Body)
	d.DisallowUnknownFields()
	err := d.Decode(into)
	if err == nil {
		if _, more := d.Token(); !errors.Is(more, io.EOF) {
			err = errors.New("more follows after the JSON object")
		}
	}
	var big *http.MaxBytesError
	if err == nil || errors.As(err, &big) {
		return err
	}
	text := strings.TrimPrefix(err.Error(), "json: ")
	if errors.Is(err, io.EOF) {
		text = "nothing was sent"
	}
	return refusing("request", "GET /api describes every call", "the request cannot be read: %s", text)
}

func body(r *http.Request) ([]byte, error) { return io.ReadAll(r.Body) }

// number reads a whole number of the path or query; 0 if it is left out.
func number(name, text string) (int, error) {
	if text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		return 0, refusing("request", "", "%s is %q; a whole number from 1 is accepted", name, short(text))
	}
	return n, nil
}

func short(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:59]) + "…"
	}
	return s
}
