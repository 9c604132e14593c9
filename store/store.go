// Package store keeps jobs in one SQLite file: every version of every job,
// what was built, photos, the firm's own catalogue files, the password and the
// sessions.
//
// Promises:
//
//   - What a call has acknowledged survives the end of the process at any
//     moment, and a power cut as far as the disk keeps its word (WAL,
//     synchronous FULL).
//   - A version is never changed or deleted. Two people who change the same
//     version both keep their work; one of them is set aside until somebody
//     settles it.
//   - Sending the same change, tick or photo twice stores it once.
//
// Read in this order: store.go, jobs.go, versions.go; then build.go, photos.go,
// catalogue.go, settings.go, backup.go, diff.go.
package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	_ "modernc.org/sqlite" // the driver "sqlite"

	"seamwright/engine/fileform"
)

// File names inside the data folder.
const (
	fileName = "seamwright.db"
	lockName = "seamwright.lock"
)

// applicationID marks the SQLite file as ours (ASCII "Seam").
const applicationID = 0x5365616d

// Store is an open data folder. Its methods may be called from many
// goroutines.
type Store struct {
	dir   string
	write *sql.DB // one connection: writers queue here instead of meeting SQLITE_BUSY
	read  *sql.DB // a few connections that cannot write
	lock  *sql.DB
	fresh bool
	now   func() time.Time
}

// Codes of Error, stable for machines.
const (
	NotFound = "not-found"
	Exists   = "exists"
	TooBig   = "too-big"
	BadInput = "bad-input"
	Stale    = "stale"
	InUse    = "in-use"
	Unusable = "unusable"
)

// Error is a refusal: what is wrong, and what to do about it.
type Error struct {
	Code     string             `json:"code"`
	Message  string             `json:"error"`
	Hint     string             `json:"hint,omitempty"`
	Problems []fileform.Problem `json:"problems,omitempty"`
}

func (e *Error) Error() string {
	text := e.Message
	if e.Hint != "" {
		text += "\nhint:  " + e.Hint
	}
	if len(e.Problems) > 0 {
		text += "\n" + fileform.Text(e.Problems)
	}
	return text
}

func refuse(code, hint, format string, args ...any) error {
	return &Error{Code: code, Message: fmt.Sprintf(format, args...), Hint: hint}
}

// Is reports whether err is an Error with that code.
func Is(err error, code string) bool {
	var e *Error
	return errors.As(err, &e) && e.Code == code
}

// Open opens the data folder and makes it if it is missing. Only one process
// may have a folder open. A file of an older program is brought up to date; one
// of a newer program is refused and left as it is.
func Open(dir string) (*Store, error) {
	if err := makeFolder(dir); err != nil {
		return nil, err
	}
	lock, err := takeLock(dir)
	if err != nil {
		return nil, err
	}
	s := &Store{dir: dir, lock: lock, now: time.Now}
	if err := s.open(filepath.Join(dir, fileName)); err != nil {
		s.Close()
		return nil, err
	}
	return s, nil
}

func (s *Store) open(file string) error {
	if err := checkOurs(file); err != nil {
		return err
	}
	if _, err := os.Stat(file); errors.Is(err, fs.ErrNotExist) {
		s.fresh = true
		f, err := os.OpenFile(file, os.O_CREATE|os.O_RDWR, 0o600)
		if err != nil {
			return unusable(s.dir, err)
		}
		f.Close()
	}
	var err error
	if s.write, err = connect(file, 1, wait, "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)"); err != nil {
		return unusable(s.dir, err)
	}
	if err := migrate(s.write); err != nil {
		return err
	}
	if s.read, err = connect(file, 4, wait, "query_only(1)"); err != nil {
		return unusable(s.dir, err)
	}
	return nil
}

// Fresh reports whether Open made the file.
func (s *Store) Fresh() bool { return s.fresh }

// Close ends all work and gives the folder free.
func (s *Store) Close() error {
	var errs []error
	for _, db := range []*sql.DB{s.read, s.write, s.lock} {
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return errors.Join(errs...)
}

// makeFolder makes the folder and tries whether files can be written there.
func makeFolder(dir string) error {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return unusable(dir, err)
	}
	f, err := os.CreateTemp(dir, ".seamwright-*")
	if err != nil {
		return unusable(dir, err)
	}
	f.Close()
	return os.Remove(f.Name())
}

func unusable(dir string, err error) error {
	return refuse(Unusable, "give a folder you may write to: --data DIR", "the data folder %s cannot be used: %v", dir, err)
}

// takeLock keeps other processes out of the folder. The lock is SQLite's own
// on a file beside the store: the system gives it back however the process
// ends, and backups may still read the store.
func takeLock(dir string) (*sql.DB, error) {
	db, err := connect(filepath.Join(dir, lockName), 1, "busy_timeout(200)", "locking_mode(EXCLUSIVE)")
	if err == nil {
		if _, err = db.Exec("BEGIN EXCLUSIVE"); err == nil {
			return db, nil
		}
		db.Close()
	}
	if strings.Contains(err.Error(), "SQLITE_BUSY") {
		return nil, refuse(InUse, "stop the other one first, or give another folder: --data DIR", "another seamwright has the data folder %s open", dir)
	}
	return nil, unusable(dir, err)
}

// wait is how long, in ms, a connection waits for another process, such as a
// backup, before it gives up.
const wait = "busy_timeout(3000)"

// connect opens a SQLite file. Transactions take the write lock when they
// begin: one that reads first and writes later would lose against another
// writer in spite of any waiting.
func connect(file string, conns int, pragmas ...string) (*sql.DB, error) {
	abs, err := filepath.Abs(file)
	if err != nil {
		return nil, err
	}
	q := url.Values{"_txlock": {"immediate"}, "_pragma": pragmas}
	u := url.URL{Scheme: "file", Path: filepath.ToSlash(abs), RawQuery: q.Encode()}
	db, err := sql.Open("sqlite", u.String())
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(conns)
	db.SetMaxIdleConns(conns)
	if err := db.Ping(); err != nil {
		db.Close()
		return nil, err
	}
	return db, nil
}

// change runs fn in one transaction. When it returns nil, everything fn did is
// on disk; else nothing is.
func (s *Store) change(ctx context.Context, fn func(tx *sql.Tx) error) error {
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return fmt.Errorf("the store cannot be written: %w", err)
	}
	defer tx.Rollback() //nolint:errcheck // after Commit it does nothing
	if err := fn(tx); err != nil {
		return err
	}
	if err := tx.Commit(); err != nil {
		return fmt.Errorf("the store cannot be written: %w", err)
	}
	return nil
}

// querier is a transaction or a connection.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// collect reads all rows with scan.
func collect[T any](ctx context.Context, q querier, scan func(row) (T, error), query string, args ...any) ([]T, error) {
	rows, err := q.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []T{}
	for rows.Next() {
		x, err := scan(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, x)
	}
	return out, rows.Err()
}

// row is one row of a result.
type row interface{ Scan(dest ...any) error }

func (s *Store) stamp() int64 { return s.now().UnixMilli() }

func timeOf(ms int64) time.Time { return time.UnixMilli(ms).UTC() }

// newID returns a name that nobody can guess and nobody else has.
func newID() string { return strings.ToLower(rand.Text()) }

// label cuts a text that only labels something to what a list shows.
func label(s string, most int) string {
	s = strings.Join(strings.Fields(strings.ToValidUTF8(s, "?")), " ")
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}

// checkID accepts names made by newID or by a device: 8 to 64 letters, digits
// and hyphens.
func checkID(what, id string) error {
	ok := len(id) >= 8 && len(id) <= 64
	for _, c := range id {
		ok = ok && (c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-')
	}
	if !ok {
		return refuse(BadInput, "leave it out and one is made", "%q is not a name for a %s: accepted are 8 to 64 letters, digits and hyphens", label(id, 80), what)
	}
	return nil
}
