package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"net/http"
	"time"
)

// Bounds of photos.
const (
	MaxPhoto     = 8 << 20   // bytes of one
	maxJobPhotos = 300       // of one job, deleted ones too
	maxJobBytes  = 256 << 20 // of one job
)

// Photo is a picture kept with a job. Its bytes are stored in the database
// under a name made here; no name that came with it is used for anything.
type Photo struct {
	ID      string    `json:"id"`
	Kind    string    `json:"kind"` // media type, found from the bytes
	Size    int       `json:"size"`
	SHA256  string    `json:"sha256"`
	Step    string    `json:"step,omitempty"` // the step of the work it belongs to
	Caption string    `json:"caption,omitempty"`
	Device  string    `json:"device,omitempty"`
	Added   time.Time `json:"added"`
}

var photoKinds = map[string]bool{"image/jpeg": true, "image/png": true, "image/webp": true}

// AddPhoto keeps a picture. The same picture sent twice is kept once; one that
// had been deleted is back.
func (s *Store) AddPhoto(ctx context.Context, id string, p Photo, data []byte) (Photo, error) {
	if len(data) > MaxPhoto {
		return p, refuse(TooBig, "send it smaller; 2000 pixels along the long side are plenty", "the photo has %d bytes; at most %d are kept", len(data), MaxPhoto)
	}
	p.Kind = http.DetectContentType(data)
	if !photoKinds[p.Kind] {
		return p, refuse(BadInput, "accepted: JPEG, PNG, WebP", "the file is not a photo that can be kept (%s)", p.Kind)
	}
	sum := sha256.Sum256(data)
	p.ID, p.Size, p.SHA256 = newID(), len(data), hex.EncodeToString(sum[:])
	p.Step, p.Caption, p.Device = label(p.Step, 200), label(p.Caption, 500), label(p.Device, 64)
	var out Photo
	err := s.change(ctx, func(tx *sql.Tx) error {
		if err := roomFor(ctx, tx, id, p); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO photos (job, id, kind, size, sha256, step, caption, device, added, bytes) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
			ON CONFLICT (job, sha256) DO UPDATE SET deleted = NULL`,
			id, p.ID, p.Kind, p.Size, p.SHA256, p.Step, p.Caption, p.Device, s.stamp(), data)
		if err == nil {
			out, err = scanPhoto(tx.QueryRowContext(ctx, `SELECT `+photoColumns+` FROM photos WHERE job = ? AND sha256 = ?`, id, p.SHA256))
		}
		return err
	})
	return out, err
}

func roomFor(ctx context.Context, tx *sql.Tx, id string, p Photo) error {
	if _, err := getJob(ctx, tx, id); err != nil {
		return err
	}
	var count, bytes int
	if err := tx.QueryRowContext(ctx, `SELECT count(*), coalesce(sum(size), 0) FROM photos WHERE job = ? AND sha256 != ?`, id, p.SHA256).Scan(&count, &bytes); err != nil {
		return err
	}
	if count >= maxJobPhotos || bytes+p.Size > maxJobBytes {
		return refuse(TooBig, "keep further photos elsewhere", "the job has %d photos of %d MB; at most %d and %d MB are kept", count, bytes>>20, maxJobPhotos, maxJobBytes>>20)
	}
	return nil
}

const photoColumns = `id, kind, size, sha256, step, caption, device, added`

func scanPhoto(r row) (Photo, error) {
	var p Photo
	var added int64
	err := r.Scan(&p.ID, &p.Kind, &p.Size, &p.SHA256, &p.Step, &p.Caption, &p.Device, &added)
	p.Added = timeOf(added)
	return p, err
}

// Photos lists the photos of a job in the order they came.
func (s *Store) Photos(ctx context.Context, id string) ([]Photo, error) {
	if _, err := getJob(ctx, s.read, id); err != nil {
		return nil, err
	}
	return collect(ctx, s.read, scanPhoto, `SELECT `+photoColumns+` FROM photos WHERE job = ? AND deleted IS NULL ORDER BY rowid`, id)
}

// PhotoBytes reads one photo.
func (s *Store) PhotoBytes(ctx context.Context, id, photo string) (kind string, data []byte, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT kind, bytes FROM photos WHERE job = ? AND id = ? AND deleted IS NULL`, id, photo).Scan(&kind, &data)
	if errors.Is(err, sql.ErrNoRows) {
		err = noPhoto(id, photo)
	}
	return kind, data, err
}

func noPhoto(id, photo string) error {
	return refuse(NotFound, "list the photos of the job to see which there are", "job %q has no photo %q", label(id, 80), label(photo, 80))
}

// DeletePhoto takes a photo off the list.
func (s *Store) DeletePhoto(ctx context.Context, id, photo string) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		r, err := tx.ExecContext(ctx, `UPDATE photos SET deleted = ? WHERE job = ? AND id = ? AND deleted IS NULL`, s.stamp(), id, photo)
		if err != nil {
			return err
		}
		if n, err := r.RowsAffected(); err != nil || n == 0 {
			return noPhoto(id, photo)
		}
		return nil
	})
}
