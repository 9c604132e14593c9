package httpapi

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"

	"seamwright/store"
)

const (
	passwordKey  = "password"
	inKey        = "in"
	sessionLife  = 30 * 24 * time.Hour // a phone in a pocket on a site stays logged in
	shortestPass = 10
	longestPass  = 1024
)

// Cost of a password hash: argon2id with two passes over 19 MiB in one lane,
// about 70 ms. Source: OWASP Password Storage Cheat Sheet, from memory.
const (
	argonTime   = 2
	argonMemory = 19 << 10 // KiB
	argonLanes  = 1
	argonKey    = 32
)

// SetPassword stores a new password and logs everybody out. Nothing is left of
// the password but its hash.
func SetPassword(ctx context.Context, s *store.Store, password string) error {
	if n := utf8.RuneCountInString(password); n < shortestPass || len(password) > longestPass {
		return &store.Error{Code: store.BadInput, Message: fmt.Sprintf("the password has %d characters", n), Hint: fmt.Sprintf("take at least %d; four or five words do well", shortestPass)}
	}
	salt := make([]byte, 16)
	if _, err := rand.Read(salt); err != nil {
		return err
	}
	key := argon2.IDKey([]byte(password), salt, argonTime, argonMemory, argonLanes, argonKey)
	hash := fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, argonMemory, argonTime, argonLanes, raw64.EncodeToString(salt), raw64.EncodeToString(key))
	if err := s.Set(ctx, passwordKey, hash); err != nil {
		return err
	}
	return s.EndSessions(ctx)
}

// RemovePassword takes the password away and logs everybody out.
func RemovePassword(ctx context.Context, s *store.Store) error {
	if err := s.Set(ctx, passwordKey, ""); err != nil {
		return err
	}
	return s.EndSessions(ctx)
}

var raw64 = base64.RawStdEncoding

// matches checks a password against a stored hash.
func matches(hash, password string) bool {
	parts := strings.Split(hash, "$")
	if len(parts) != 6 || parts[1] != "argon2id" || parts[2] != fmt.Sprintf("v=%d", argon2.Version) {
		return false
	}
	var memory, passes uint32
	var lanes uint8
	if n, err := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &memory, &passes, &lanes); n != 3 || err != nil || passes < 1 || lanes < 1 || memory > 1<<20 || passes > 16 {
		return false
	}
	salt, err := raw64.DecodeString(parts[4])
	want, err2 := raw64.DecodeString(parts[5])
	if err != nil || err2 != nil || len(want) == 0 {
		return false
	}
	got := argon2.IDKey([]byte(password), salt, passes, memory, lanes, uint32(len(want)))
	return subtle.ConstantTimeCompare(got, want) == 1
}

// loggedIn lets only requests with a session pass, if a password is set.
func (s *Server) loggedIn(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if s.password != "" && !s.sessions.GetBool(r.Context(), inKey) {
			s.refuse(w, http.StatusUnauthorized, store.Error{Code: "login", Message: "log in first", Hint: "at /api/log-in, with the password given to seamwright serve --set-password"})
			return
		}
		next.ServeHTTP(w, r)
	})
}

func (s *Server) sessionState(w http.ResponseWriter, r *http.Request) error {
	needed := s.password != ""
	s.send(w, http.StatusOK, map[string]bool{"password": needed, "in": !needed || s.sessions.GetBool(r.Context(), inKey)})
	return nil
}

func (s *Server) logIn(w http.ResponseWriter, r *http.Request) error {
	var in struct {
		Password string `json:"password"`
	}
	if err := read(r, &in); err != nil {
		return err
	}
	if err := s.enter(w, r, in.Password); err != nil {
		return err
	}
	s.send(w, http.StatusOK, map[string]bool{"password": true, "in": true})
	return nil
}

// enter begins a session if the password is right. It counts the attempt before
// it hashes, so that guessing costs us little.
func (s *Server) enter(w http.ResponseWriter, r *http.Request, password string) error {
	if s.password == "" {
		return refusing("no-password", "nothing needs a log-in", "no password is set")
	}
	if wait := s.logins.take(address(r), time.Now()); wait > 0 {
		w.Header().Set("Retry-After", strconv.Itoa(int(wait/time.Second)+1))
		return refusing("too-often", fmt.Sprintf("try again in %d minutes", int(wait/time.Minute)+1), "too many attempts to log in")
	}
	select {
	case s.hashing <- struct{}{}:
	case <-time.After(5 * time.Second):
		w.Header().Set("Retry-After", "5")
		return refusing("busy", "try again in a moment", "too many are logging in at once")
	case <-r.Context().Done():
		return r.Context().Err()
	}
	ok := len(password) <= longestPass && matches(s.password, password)
	<-s.hashing
	if !ok {
		return refusing("login", "try again, or set another with seamwright serve --set-password", "the password is not right")
	}
	s.logins.forget(address(r))
	if err := s.sessions.RenewToken(r.Context()); err != nil {
		return err
	}
	s.sessions.Put(r.Context(), inKey, true)
	return nil
}

func (s *Server) logOut(w http.ResponseWriter, r *http.Request) error {
	if s.password != "" {
		if err := s.sessions.Destroy(r.Context()); err != nil {
			return err
		}
	}
	s.send(w, http.StatusOK, map[string]bool{"password": s.password != "", "in": s.password == ""})
	return nil
}

// address is who sends a request: an IPv4 address, or an IPv6 network of 64
// bits, which is what one subscriber has.
func address(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		host = r.RemoteAddr
	}
	a, err := netip.ParseAddr(host)
	if err != nil {
		return host
	}
	a = a.Unmap().WithZone("")
	if a.Is6() {
		if p, err := a.Prefix(64); err == nil {
			return p.String()
		}
	}
	return a.String()
}

// Attempts to log in, in a window.
const (
	window = 5 * time.Minute
	ofOne  = 10
	ofAll  = 100
)

// limiter counts attempts in fixed windows, of each address and of all.
type limiter struct {
	sync.Mutex
	from time.Time
	all  int
	one  map[string]int
}

func newLimiter() *limiter { return &limiter{one: map[string]int{}} }

// take counts an attempt and says how long to wait if it is one too many.
func (l *limiter) take(who string, now time.Time) time.Duration {
	l.Lock()
	defer l.Unlock()
	if now.Sub(l.from) >= window {
		l.from, l.all, l.one = now, 0, map[string]int{}
	}
	if l.all >= ofAll || l.one[who] >= ofOne {
		return l.from.Add(window).Sub(now)
	}
	l.all++
	l.one[who]++
	return 0
}

// forget lets somebody who knew the password off.
func (l *limiter) forget(who string) {
	l.Lock()
	defer l.Unlock()
	l.all -= l.one[who]
	delete(l.one, who)
}
