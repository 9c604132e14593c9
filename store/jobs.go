package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"time"
	"unicode/utf8"

	"seamwright/store/upgrade"
)

// maxDoc is the most a job document may hold: what the reader of job files
// accepts.
const maxDoc = 1 << 20

// Job is one job without its documents.
type Job struct {
	ID        string     `json:"id"`
	Head      int        `json:"head"` // the version that counts
	Name      string     `json:"name"`
	Number    string     `json:"number,omitempty"`
	Customer  string     `json:"customer,omitempty"`
	Demo      bool       `json:"demo,omitempty"`
	Created   time.Time  `json:"created"`
	Changed   time.Time  `json:"changed"`
	Deleted   *time.Time `json:"deleted,omitempty"`
	Conflicts []int      `json:"conflicts,omitempty"` // newest versions set aside that nobody has settled
}

// Change is a new state of a job.
type Change struct {
	Expected int             // the version it was made from; 0 for a new job
	Doc      json.RawMessage // a JSON object; it need not be complete
	Merges   int             // the version set aside that this change settles; 0 for none
	Key      string          // names the change, so that sending it twice stores it once; made if empty
	After    string          // the key of a change sent before whose answer never came; this one goes on from it
	Device   string          // who
	Note     string          // why
	Original []byte          // the file it was imported from, if it was
}

// Saved is what became of a change.
type Saved struct {
	Job      Job      `json:"job"`
	Version  Version  `json:"version"`            // the change as it is kept
	Conflict *Version `json:"conflict,omitempty"` // the version that counts instead; Version was set aside
	Again    bool     `json:"again,omitempty"`    // the change had been stored before, or changes nothing
	Revived  bool     `json:"revived,omitempty"`  // the job had been deleted and is back
}

// Create stores a new job. A device may name the job itself, so that jobs can
// be begun with no network; sending the same again gives what is stored.
func (s *Store) Create(ctx context.Context, id string, c Change, demo bool) (Saved, error) {
	if id == "" {
		id = newID()
	}
	if err := checkID("job", id); err != nil {
		return Saved{}, err
	}
	if err := c.check(); err != nil {
		return Saved{}, err
	}
	var out Saved
	err := s.change(ctx, func(tx *sql.Tx) error {
		if _, err := getJob(ctx, tx, id); err == nil {
			v, err := versionByKey(ctx, tx, id, c.Key)
			if err != nil {
				return refuse(Exists, "read it, and save the change over the version it was made from", "there is a job %s already", id)
			}
			out, err = saved(ctx, tx, id, v)
			out.Again = true
			return err
		}
		now := s.stamp()
		h := headOf(c.Doc)
		if _, err := tx.ExecContext(ctx, `INSERT INTO jobs (id, head, name, number, customer, demo, created, changed) VALUES (?, 1, ?, ?, ?, ?, ?, ?)`,
			id, h.Name, h.Number, h.Customer, demo, now, now); err != nil {
			return err
		}
		v, err := s.insert(ctx, tx, id, 1, 0, false, c)
		if err == nil {
			out, err = saved(ctx, tx, id, v)
		}
		return err
	})
	return out, err
}

// Save stores a change. If the job has moved on since c.Expected, the change is
// kept as a version set aside, the job stays as it is, and both come back.
func (s *Store) Save(ctx context.Context, id string, c Change) (Saved, error) {
	if err := c.check(); err != nil {
		return Saved{}, err
	}
	var out Saved
	err := s.change(ctx, func(tx *sql.Tx) error {
		j, err := getJob(ctx, tx, id)
		if err != nil {
			return err
		}
		if v, err := versionByKey(ctx, tx, id, c.Key); err == nil {
			out, err = saved(ctx, tx, id, v)
			out.Again = true
			return err
		}
		if v, err := versionByKey(ctx, tx, id, c.After); c.After != "" && err == nil && v.Parent == c.Expected {
			c.Expected = v.N // it had arrived; without this the device would be in conflict with itself
		}
		out, err = s.apply(ctx, tx, j, c)
		return err
	})
	return out, err
}

func (s *Store) apply(ctx context.Context, tx *sql.Tx, j Job, c Change) (Saved, error) {
	if _, err := getVersion(ctx, tx, j.ID, c.Expected); err != nil {
		return Saved{}, refuse(BadInput, "read the job and send the version the change was made from", "the job has no version %d", c.Expected)
	}
	if c.Merges != 0 && !contains(j.Conflicts, c.Merges) {
		return Saved{}, refuse(BadInput, "read the job: conflicts lists them", "version %d is not set aside, or settled already", c.Merges)
	}
	head, err := getVersion(ctx, tx, j.ID, j.Head)
	if err != nil {
		return Saved{}, err
	}
	if c.Merges == 0 && j.Deleted == nil && bytes.Equal(head.stored, c.Doc) {
		out, err := saved(ctx, tx, j.ID, head)
		out.Again = true
		return out, err
	}
	last := 0
	if err := tx.QueryRowContext(ctx, `SELECT max(n) FROM versions WHERE job = ?`, j.ID).Scan(&last); err != nil {
		return Saved{}, err
	}
	aside := c.Expected != j.Head
	v, err := s.insert(ctx, tx, j.ID, last+1, c.Expected, aside, c)
	if err != nil {
		return Saved{}, err
	}
	now := s.stamp()
	if aside {
		_, err = tx.ExecContext(ctx, `UPDATE jobs SET changed = ?, deleted = NULL WHERE id = ?`, now, j.ID)
	} else {
		h := headOf(c.Doc)
		_, err = tx.ExecContext(ctx, `UPDATE jobs SET head = ?, name = ?, number = ?, customer = ?, changed = ?, deleted = NULL WHERE id = ?`,
			v.N, h.Name, h.Number, h.Customer, now, j.ID)
	}
	if err != nil {
		return Saved{}, err
	}
	out, err := saved(ctx, tx, j.ID, v)
	out.Revived = j.Deleted != nil
	return out, err
}

// saved puts together what a caller is told of a version just stored or found.
func saved(ctx context.Context, tx *sql.Tx, id string, v Version) (Saved, error) {
	j, err := getJob(ctx, tx, id)
	out := Saved{Job: j, Version: v}
	if err == nil && contains(j.Conflicts, v.N) {
		var head Version
		head, err = getVersion(ctx, tx, id, j.Head)
		out.Conflict = &head
	}
	return out, err
}

func contains(ns []int, n int) bool {
	for _, x := range ns {
		if x == n {
			return true
		}
	}
	return false
}

// check makes a change ready to be stored.
func (c *Change) check() error {
	if len(c.Doc) > maxDoc || len(c.Original) > maxDoc {
		return refuse(TooBig, "photos are kept beside the job, not in it", "the job has %d bytes; at most 1 MiB is kept", max(len(c.Doc), len(c.Original)))
	}
	var compact bytes.Buffer
	if !bytes.HasPrefix(bytes.TrimSpace(c.Doc), []byte("{")) || json.Compact(&compact, c.Doc) != nil {
		return refuse(BadInput, "job files in YAML are taken by import", "the job is not a JSON object")
	}
	if !utf8.Valid(c.Doc) || depth(c.Doc) > maxDepth {
		return refuse(BadInput, "a job has at most six levels", "the job is not UTF-8 text, or its brackets are nested more than %d deep", maxDepth)
	}
	c.Doc = compact.Bytes()
	if _, _, err := upgrade.Job(c.Doc); err != nil {
		return refuse(BadInput, "", "%v", err)
	}
	if c.Key == "" {
		c.Key = newID()
	}
	c.Device, c.Note = label(c.Device, 64), label(c.Note, 500)
	return checkID("change", c.Key)
}

// maxDepth is what the reader of job files accepts; SQLite refuses deep ones.
const maxDepth = 64

// depth is how deep the brackets of valid JSON are nested.
func depth(doc []byte) int {
	deepest, now, quoted := 0, 0, false
	for i := 0; i < len(doc); i++ {
		switch c := doc[i]; {
		case quoted && c == '\\':
			i++
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '{' || c == '[':
			now++
			deepest = max(deepest, now)
		case c == '}' || c == ']':
			now--
		}
	}
	return deepest
}

// title is what lists show of a document. Drafts may lack it or hold something
// else in its place.
type title struct{ Name, Number, Customer string }

func headOf(doc []byte) title {
	var fields map[string]json.RawMessage
	_ = json.Unmarshal(doc, &fields) // a draft that is no object was refused before
	text := func(key string) string {
		var t string
		_ = json.Unmarshal(fields[key], &t)
		return label(t, 200)
	}
	return title{text("name"), text("number"), text("customer")}
}

// Jobs lists jobs, the last changed first: those that stand, or the deleted.
func (s *Store) Jobs(ctx context.Context, deleted bool) ([]Job, error) {
	tx, err := s.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return nil, err
	}
	defer tx.Rollback() //nolint:errcheck // nothing was written
	jobs, err := collect(ctx, tx, scanJob, `SELECT `+jobColumns+` FROM jobs WHERE (deleted IS NOT NULL) = ? ORDER BY changed DESC, id`, deleted)
	if err != nil {
		return nil, err
	}
	open, err := collect(ctx, tx, func(r row) (aside, error) {
		var a aside
		return a, r.Scan(&a.job, &a.n)
	}, openConflicts+` ORDER BY v.job, v.n`)
	if err != nil {
		return nil, err
	}
	by := map[string][]int{}
	for _, a := range open {
		by[a.job] = append(by[a.job], a.n)
	}
	for i := range jobs {
		jobs[i].Conflicts = by[jobs[i].ID]
	}
	return jobs, nil
}

// Job reads one job, deleted or not.
func (s *Store) Job(ctx context.Context, id string) (Job, error) { return getJob(ctx, s.read, id) }

// Delete takes a job off the list. Nothing of it is lost; Revive brings it back.
func (s *Store) Delete(ctx context.Context, id string) (Job, error) {
	return s.mark(ctx, id, s.stamp())
}

// Revive puts a deleted job back on the list.
func (s *Store) Revive(ctx context.Context, id string) (Job, error) { return s.mark(ctx, id, nil) }

func (s *Store) mark(ctx context.Context, id string, deleted any) (Job, error) {
	var j Job
	err := s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `UPDATE jobs SET deleted = ? WHERE id = ? AND (deleted IS NULL) != (? IS NULL)`, deleted, id, deleted)
		if err == nil {
			j, err = getJob(ctx, tx, id)
		}
		return err
	})
	return j, err
}

const jobColumns = `id, head, name, number, customer, demo, created, changed, deleted`

func scanJob(r row) (Job, error) {
	var j Job
	var created, changed int64
	var deleted sql.NullInt64
	err := r.Scan(&j.ID, &j.Head, &j.Name, &j.Number, &j.Customer, &j.Demo, &created, &changed, &deleted)
	j.Created, j.Changed = timeOf(created), timeOf(changed)
	if deleted.Valid {
		t := timeOf(deleted.Int64)
		j.Deleted = &t
	}
	return j, err
}

type aside struct {
	job string
	n   int
}

// openConflicts finds versions set aside that nobody has settled and nobody
// has gone on from.
const openConflicts = `SELECT v.job, v.n FROM versions v WHERE v.aside = 1
	AND NOT EXISTS (SELECT 1 FROM versions m WHERE m.job = v.job AND (m.merges = v.n OR m.parent = v.n AND m.aside = 1))`

func getJob(ctx context.Context, q querier, id string) (Job, error) {
	j, err := scanJob(q.QueryRowContext(ctx, `SELECT `+jobColumns+` FROM jobs WHERE id = ?`, id))
	if errors.Is(err, sql.ErrNoRows) {
		return j, refuse(NotFound, "list the jobs to see which there are", "there is no job %q", label(id, 80))
	}
	if err != nil {
		return j, err
	}
	j.Conflicts, err = collect(ctx, q, func(r row) (n int, err error) {
		var job string
		return n, errors.Join(r.Scan(&job, &n))
	}, openConflicts+` AND v.job = ? ORDER BY v.n`, id)
	return j, err
}
