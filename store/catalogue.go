package store

import (
	"context"
	"database/sql"
	"errors"
	"regexp"
	"time"

	"seamwright/engine/fileform"
)

// CatalogueFile is a catalogue or shop file of the firm. It keeps the text as
// it was typed, comments and all.
type CatalogueFile struct {
	Name   string    `json:"name"`
	N      int       `json:"n"` // version; every save makes the next
	Saved  time.Time `json:"saved"`
	Device string    `json:"device,omitempty"`
	Text   string    `json:"text,omitempty"`
}

// maxCatalogues is how many files a firm may keep.
const maxCatalogues = 100

var catalogueName = regexp.MustCompile(`^[a-z0-9][a-z0-9._-]{0,59}\.(yaml|json)$`)

// SaveCatalogue stores the next version of a file that was read at version
// expected, 0 for a new one. Text that the reader of catalogues refuses is not
// stored, and its problems come back; notes come back with a file that was.
func (s *Store) SaveCatalogue(ctx context.Context, name, text string, expected int, device string) (CatalogueFile, []fileform.Problem, error) {
	if !catalogueName.MatchString(name) {
		return CatalogueFile{}, nil, refuse(BadInput, "for example own-shop.yaml", "%q is not a name for a catalogue file: accepted are small letters, digits, dots and hyphens, ending in .yaml or .json", label(name, 80))
	}
	_, _, problems := fileform.ReadCatalogue(name, []byte(text))
	if fileform.Refuses(problems) {
		return CatalogueFile{}, problems, &Error{Code: BadInput, Message: "the catalogue file cannot be used and was not stored", Hint: "mend what the problems name", Problems: problems}
	}
	f, err := s.putCatalogue(ctx, name, text, expected, device)
	return f, problems, err
}

// DeleteCatalogue takes a file out of use. Its versions stay.
func (s *Store) DeleteCatalogue(ctx context.Context, name string, expected int, device string) error {
	if _, err := s.Catalogue(ctx, name); err != nil {
		return err
	}
	_, err := s.putCatalogue(ctx, name, nil, expected, device)
	return err
}

func (s *Store) putCatalogue(ctx context.Context, name string, text any, expected int, device string) (CatalogueFile, error) {
	var out CatalogueFile
	err := s.change(ctx, func(tx *sql.Tx) error {
		var last, names int
		var stands bool
		err := tx.QueryRowContext(ctx, `SELECT n, text IS NOT NULL FROM catalogue WHERE name = ? ORDER BY n DESC LIMIT 1`, name).Scan(&last, &stands)
		if err != nil && !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		if expected != last && (stands || expected != 0) {
			return refuse(Stale, "read it again and make your change there; yours was not stored", "%s has been saved since: it is at version %d, yours was made from %d", name, last, expected)
		}
		if err := tx.QueryRowContext(ctx, `SELECT count(DISTINCT name) FROM catalogue WHERE name != ?`, name).Scan(&names); err != nil {
			return err
		}
		if names >= maxCatalogues {
			return refuse(TooBig, "put several systems into one file", "there are %d catalogue files; no more are kept", names)
		}
		out = CatalogueFile{Name: name, N: last + 1, Device: label(device, 64)}
		at := s.stamp()
		out.Saved = timeOf(at)
		out.Text, _ = text.(string)
		_, err = tx.ExecContext(ctx, `INSERT INTO catalogue (name, n, saved, device, text) VALUES (?, ?, ?, ?, ?)`, name, out.N, at, out.Device, text)
		return err
	})
	return out, err
}

const newestCatalogue = `SELECT name, n, saved, device, text FROM catalogue c
	WHERE text IS NOT NULL AND n = (SELECT max(n) FROM catalogue WHERE name = c.name)`

func scanCatalogue(r row) (CatalogueFile, error) {
	var f CatalogueFile
	var saved int64
	err := r.Scan(&f.Name, &f.N, &saved, &f.Device, &f.Text)
	f.Saved = timeOf(saved)
	return f, err
}

// Catalogues lists the files in use with their texts, by name.
func (s *Store) Catalogues(ctx context.Context) ([]CatalogueFile, error) {
	return collect(ctx, s.read, scanCatalogue, newestCatalogue+` ORDER BY name`)
}

// Catalogue reads one file in use.
func (s *Store) Catalogue(ctx context.Context, name string) (CatalogueFile, error) {
	f, err := scanCatalogue(s.read.QueryRowContext(ctx, newestCatalogue+` AND name = ?`, name))
	if errors.Is(err, sql.ErrNoRows) {
		err = refuse(NotFound, "list the catalogue to see which there are", "there is no catalogue file %q", label(name, 80))
	}
	return f, err
}
