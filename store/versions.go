package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"seamwright/store/upgrade"
)

// Version is one state of a job. It never changes.
type Version struct {
	N            int             `json:"n"`
	Parent       int             `json:"parent,omitempty"` // the version it was made from
	Merges       int             `json:"merges,omitempty"` // the version set aside that it settles
	Aside        bool            `json:"aside,omitempty"`  // made from a version that no longer counted
	Saved        time.Time       `json:"saved"`
	Device       string          `json:"device,omitempty"`
	Note         string          `json:"note,omitempty"`
	Key          string          `json:"key"`
	Imported     bool            `json:"imported,omitempty"`      // the file it came from can be had
	UpgradedFrom int             `json:"upgraded_from,omitempty"` // format it is stored in, if Doc was brought up to date
	Doc          json.RawMessage `json:"doc,omitempty"`           // left out in lists

	stored []byte // Doc as it lies in the file
}

// Versions lists all versions of a job, the newest first, without documents.
func (s *Store) Versions(ctx context.Context, id string) ([]Version, error) {
	if _, err := getJob(ctx, s.read, id); err != nil {
		return nil, err
	}
	return collect(ctx, s.read, func(r row) (Version, error) { return scanVersion(r) },
		`SELECT `+versionColumns+` FROM versions WHERE job = ? ORDER BY n DESC`, id)
}

// Version reads one version; 0 means the one that counts.
func (s *Store) Version(ctx context.Context, id string, n int) (Version, error) {
	if n == 0 {
		j, err := getJob(ctx, s.read, id)
		if err != nil {
			return Version{}, err
		}
		n = j.Head
	}
	return getVersion(ctx, s.read, id, n)
}

// Original reads the file a version was imported from, byte for byte.
func (s *Store) Original(ctx context.Context, id string, n int) ([]byte, error) {
	var b []byte
	err := s.read.QueryRowContext(ctx, `SELECT original FROM versions WHERE job = ? AND n = ? AND original IS NOT NULL`, id, n).Scan(&b)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, refuse(NotFound, "only an imported version has one", "version %d of job %q was not imported from a file", n, label(id, 80))
	}
	return b, err
}

const versionColumns = `n, coalesce(parent, 0), coalesce(merges, 0), aside, saved, device, note, change, original IS NOT NULL`

func scanVersion(r row, more ...any) (Version, error) {
	var v Version
	var at int64
	err := r.Scan(append([]any{&v.N, &v.Parent, &v.Merges, &v.Aside, &at, &v.Device, &v.Note, &v.Key, &v.Imported}, more...)...)
	v.Saved = timeOf(at)
	return v, err
}

func (s *Store) insert(ctx context.Context, tx *sql.Tx, id string, n, parent int, aside bool, c Change) (Version, error) {
	none := func(i int) any {
		if i == 0 {
			return nil
		}
		return i
	}
	var original any
	if c.Original != nil {
		original = c.Original
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO versions (job, n, parent, merges, aside, saved, device, note, change, doc, original) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		id, n, none(parent), none(c.Merges), aside, s.stamp(), c.Device, c.Note, c.Key, string(c.Doc), original)
	if err != nil {
		return Version{}, err
	}
	return getVersion(ctx, tx, id, n)
}

func getVersion(ctx context.Context, q querier, id string, n int) (Version, error) {
	return oneVersion(fmt.Sprintf("version %d", n), id, q.QueryRowContext(ctx, `SELECT `+versionColumns+`, doc FROM versions WHERE job = ? AND n = ?`, id, n))
}

func versionByKey(ctx context.Context, q querier, id, key string) (Version, error) {
	return oneVersion("change "+key, id, q.QueryRowContext(ctx, `SELECT `+versionColumns+`, doc FROM versions WHERE job = ? AND change = ?`, id, key))
}

// oneVersion reads a version with its document, brought up to date.
func oneVersion(what, id string, r row) (Version, error) {
	var doc string
	v, err := scanVersion(r, &doc)
	if errors.Is(err, sql.ErrNoRows) {
		return v, refuse(NotFound, "list the versions to see which there are", "job %q has no %s", label(id, 80), what)
	}
	if err != nil {
		return v, err
	}
	v.stored = []byte(doc)
	today, from, err := upgrade.Job(v.stored)
	if err != nil {
		return v, fmt.Errorf("%s of job %s: %w", what, id, err)
	}
	v.Doc = today
	if string(today) != doc {
		v.UpgradedFrom = from
	}
	return v, nil
}

// Duplicate makes a new job from the version of another that counts. Versions,
// ticks and photos stay with the old one.
func (s *Store) Duplicate(ctx context.Context, id, newName, device string) (Saved, error) {
	v, err := s.Version(ctx, id, 0)
	if err != nil {
		return Saved{}, err
	}
	name := headOf(v.Doc).Name
	if newName == "" {
		newName = name + " (copy)"
	}
	doc, err := rename(v.Doc, newName)
	if err != nil {
		return Saved{}, err
	}
	return s.Create(ctx, "", Change{Doc: doc, Device: device, Note: fmt.Sprintf("copy of %s, version %d", label(name, 100), v.N)}, false)
}
