// Package httpapi serves the app and the same engine over HTTP: jobs with
// their versions, plans, papers, the firm's catalogue, ticks and photos.
//
// Who may call: only the machine itself until a password is set; then whoever
// has logged in. Every answer that is not a file is JSON, and a refusal has the
// words the command line would print.
//
// Read in this order: server.go (who passes which gate), routes.go (what there
// is), then a file for each subject. reply.go holds the form of answers.
package httpapi

import (
	"context"
	"errors"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"runtime/debug"
	"strings"
	"time"

	"github.com/alexedwards/scs/v2"

	"seamwright/store"
)

// Config is what a server is made of.
type Config struct {
	Store   *store.Store
	Assets  fs.FS // the built app; may be empty
	Version string
	Open    bool     // listens on more than loopback, or is reached under other names
	Hosts   []string // further names under which it is reached
	TLS     bool     // serves HTTPS
	Log     *slog.Logger
}

// Server answers requests. Its ServeHTTP may be called from many goroutines.
type Server struct {
	Config
	engine   *engine
	sessions *scs.SessionManager
	password string // as PasswordHash made it; "" if none is set
	logins   *limiter
	hashing  chan struct{}
	routes   []route
	handler  http.Handler
}

// New makes a server. A server that others can reach needs a password.
func New(c Config) (*Server, error) {
	password, err := c.Store.Setting(context.Background(), passwordKey)
	if err != nil {
		return nil, err
	}
	if c.Open && password == "" {
		return nil, &store.Error{Code: "no-password", Message: "other machines could reach this server and no password is set", Hint: "seamwright serve --set-password asks for one; or listen on 127.0.0.1"}
	}
	if c.Log == nil {
		c.Log = slog.New(slog.DiscardHandler)
	}
	s := &Server{Config: c, password: password, engine: newEngine(c.Store), logins: newLimiter(), hashing: make(chan struct{}, 2)}
	s.sessions = scs.New()
	s.sessions.Store = c.Store.Sessions()
	s.sessions.HashTokenInStore = true
	s.sessions.Lifetime = sessionLife
	s.sessions.Cookie.Name = "seamwright"
	s.sessions.Cookie.HttpOnly = true
	s.sessions.Cookie.SameSite = http.SameSiteStrictMode
	s.sessions.Cookie.Secure = c.TLS
	s.sessions.ErrorFunc = func(w http.ResponseWriter, r *http.Request, err error) { s.fail(w, r, err) }
	app, err := newAssets(c.Assets)
	if err != nil {
		return nil, err
	}
	s.routes = s.table()
	s.handler = s.gates(s.mux(), app)
	return s, nil
}

// ServeHTTP answers one request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// Times after which a connection that gives or takes nothing is closed.
const (
	headerTime = 5 * time.Second
	bodyTime   = 60 * time.Second // a photo over a weak network
	answerTime = 90 * time.Second
	idleTime   = 2 * time.Minute
	closeTime  = 10 * time.Second // for requests in hand when the server stops
)

// Serve answers on ln until ctx ends; requests in hand are finished. With a
// certificate and key it serves HTTPS.
func (s *Server) Serve(ctx context.Context, ln net.Listener, cert, key string) error {
	h := &http.Server{Handler: s, ReadHeaderTimeout: headerTime, ReadTimeout: bodyTime, WriteTimeout: answerTime, IdleTimeout: idleTime, MaxHeaderBytes: 16 << 10,
		ErrorLog: slog.NewLogLogger(s.Log.Handler(), slog.LevelDebug)}
	done := make(chan error, 1)
	go func() {
		if s.TLS {
			done <- h.ServeTLS(ln, cert, key)
		} else {
			done <- h.Serve(ln)
		}
	}()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	wait, cancel := context.WithTimeout(context.Background(), closeTime)
	defer cancel()
	err := h.Shutdown(wait)
	if e := <-done; !errors.Is(e, http.ErrServerClosed) {
		err = errors.Join(err, e)
	}
	return err
}

// gates puts everything that every request must pass in front of the routes,
// the first on the outside.
func (s *Server) gates(api, app http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.refuse(w, http.StatusForbidden, store.Error{Code: "cross-origin", Message: "the request comes from another site's page", Hint: "open the app itself"})
	}))
	var h http.Handler = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/api" || strings.HasPrefix(r.URL.Path, "/api/") {
			api.ServeHTTP(w, r)
			return
		}
		app.ServeHTTP(w, r)
	})
	h = cross.Handler(h)
	h = s.hosts(h)
	h = headers(h)
	return s.recovering(h)
}

// hosts refuses names that are not this server's: a page elsewhere can let its
// own name point to 127.0.0.1 and would then count as our own page.
func (s *Server) hosts(next http.Handler) http.Handler {
	ours := map[string]bool{"localhost": true, "127.0.0.1": true, "::1": true}
	for _, h := range s.Hosts {
		ours[strings.ToLower(h)] = true
	}
	any := s.Open && len(s.Hosts) == 0 // behind a password; the cookie of another name is not sent
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host := r.Host
		if h, _, err := net.SplitHostPort(host); err == nil {
			host = h
		}
		host = strings.ToLower(strings.TrimSuffix(strings.Trim(host, "[]"), "."))
		if !any && !ours[host] {
			s.refuse(w, http.StatusMisdirectedRequest, store.Error{Code: "host", Message: "this server does not answer to the name it was called by", Hint: "open it at http://127.0.0.1 and its port, or start it with --allow-host NAME"})
			return
		}
		next.ServeHTTP(w, r)
	})
}

// policy lets a page run only what comes from here. Styles may stand in the
// page because drawings carry theirs; they can fetch nothing from elsewhere.
const policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; style-src 'self' 'unsafe-inline'; " +
	"img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; manifest-src 'self'; " +
	"base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'"

func headers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		next.ServeHTTP(w, r)
	})
}

// recovering turns a failure of ours into an answer; the details go to the log.
func (s *Server) recovering(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			what := recover()
			if what == nil {
				return
			}
			if what == http.ErrAbortHandler { //nolint:errorlint // the very value
				panic(what)
			}
			s.Log.Error("request failed", "method", r.Method, "path", r.URL.Path, "panic", what, "stack", string(debug.Stack()))
			s.refuse(w, http.StatusInternalServerError, failed)
		}()
		next.ServeHTTP(w, r)
	})
}
