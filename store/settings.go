package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// Setting reads a setting; "" if it was never set.
func (s *Store) Setting(ctx context.Context, key string) (string, error) {
	var v string
	err := s.read.QueryRowContext(ctx, `SELECT value FROM settings WHERE key = ?`, key).Scan(&v)
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return v, err
}

// Set stores a setting; "" takes it away.
func (s *Store) Set(ctx context.Context, key, value string) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `DELETE FROM settings WHERE key = ?`, key)
		if err == nil && value != "" {
			_, err = tx.ExecContext(ctx, `INSERT INTO settings (key, value) VALUES (?, ?)`, key, value)
		}
		return err
	})
}

// EndSessions logs everybody out.
func (s *Store) EndSessions(ctx context.Context) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `DELETE FROM sessions`)
		return err
	})
}

// Sessions is the store as the session library wants it.
type Sessions struct{ s *Store }

// Sessions returns the sessions of the store.
func (s *Store) Sessions() Sessions { return Sessions{s} }

// Find reads the data of a session that has not run out.
func (x Sessions) Find(token string) ([]byte, bool, error) {
	return x.FindCtx(context.Background(), token)
}

// FindCtx is Find with a context.
func (x Sessions) FindCtx(ctx context.Context, token string) ([]byte, bool, error) {
	var b []byte
	err := x.s.read.QueryRowContext(ctx, `SELECT data FROM sessions WHERE token = ? AND expires > ?`, token, x.s.stamp()).Scan(&b)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, false, nil
	}
	return b, err == nil, err
}

// Commit stores a session, and drops those that have run out.
func (x Sessions) Commit(token string, b []byte, expires time.Time) error {
	return x.CommitCtx(context.Background(), token, b, expires)
}

// CommitCtx is Commit with a context.
func (x Sessions) CommitCtx(ctx context.Context, token string, b []byte, expires time.Time) error {
	return x.s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO sessions (token, data, expires) VALUES (?, ?, ?) ON CONFLICT (token) DO UPDATE SET data = excluded.data, expires = excluded.expires`,
			token, b, expires.UnixMilli())
		if err == nil {
			_, err = tx.ExecContext(ctx, `DELETE FROM sessions WHERE expires <= ?`, x.s.stamp())
		}
		return err
	})
}

// Delete ends a session.
func (x Sessions) Delete(token string) error { return x.DeleteCtx(context.Background(), token) }

// DeleteCtx is Delete with a context.
func (x Sessions) DeleteCtx(ctx context.Context, token string) error {
	return x.s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `DELETE FROM sessions WHERE token = ?`, token)
		return err
	})
}
