package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// Backup copies the store of a data folder into one file, whole and checked,
// or leaves nothing. It may run beside a running server: the copy is the state
// of one moment. Sessions are left out; the password stays in.
func Backup(ctx context.Context, dir, file string, overwrite bool) error {
	from := filepath.Join(dir, fileName)
	if _, err := os.Stat(from); err != nil {
		return refuse(NotFound, "give the folder the server uses: --data DIR", "there is no store in %s: %v", dir, err)
	}
	if err := checkOurs(from); err != nil {
		return err
	}
	if _, err := os.Stat(file); err == nil && !overwrite {
		return refuse(Exists, "give another name, or say --overwrite", "%s exists and was left as it is", file)
	}
	return beside(file, func(tmp string) error {
		if err := copyStore(ctx, from, tmp); err != nil {
			return fmt.Errorf("the backup was not written: %w", err)
		}
		db, err := connect(tmp, 1, wait, "synchronous(FULL)")
		if err != nil {
			return err
		}
		defer db.Close()
		if _, err := db.ExecContext(ctx, `DELETE FROM sessions`); err != nil {
			return fmt.Errorf("the backup was not written: %w", err)
		}
		return whole(ctx, db)
	})
}

// Restore puts a backup in the place of the store of a data folder, whole or
// not at all. A folder that has a store is left as it is unless overwrite is
// set; then the old store is kept beside the new one, and its name comes back.
// No server may have the folder open.
func Restore(ctx context.Context, dir, file string, overwrite bool) (kept string, err error) {
	if _, err := os.Stat(file); err != nil {
		return "", refuse(NotFound, "give a file that seamwright backup wrote", "the backup cannot be read: %v", err)
	}
	if err := makeFolder(dir); err != nil {
		return "", err
	}
	lock, err := takeLock(dir)
	if err != nil {
		return "", err
	}
	defer lock.Close()
	to := filepath.Join(dir, fileName)
	_, missing := os.Stat(to)
	stands := missing == nil
	if stands && !overwrite {
		return "", refuse(Exists, "say --overwrite to replace it; the old one is kept beside it", "%s has a store already and was left as it is", dir)
	}
	err = beside(to, func(tmp string) error {
		if err := copyBackup(ctx, file, tmp); err != nil {
			return err
		}
		if stands {
			kept, err = setAside(to, time.Now())
			return err
		}
		return nil
	})
	return kept, err
}

// beside lets fill write a file next to its place and moves it there when it
// is whole and on disk.
func beside(file string, fill func(tmp string) error) error {
	tmp, err := os.MkdirTemp(filepath.Dir(file), ".seamwright-*")
	if err != nil {
		return refuse(Unusable, "give a folder you may write to", "nothing can be written beside %s: %v", file, err)
	}
	defer os.RemoveAll(tmp)
	name := filepath.Join(tmp, "copy.db")
	if err := fill(name); err != nil {
		return err
	}
	if err := flush(name); err != nil {
		return err
	}
	if err := os.Rename(name, file); err != nil {
		return err
	}
	// So that the new name itself survives a power cut; some systems cannot.
	_ = flush(filepath.Dir(file))
	return nil
}

func flush(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// copyStore copies what one read transaction sees. The copy has no log beside it.
func copyStore(ctx context.Context, from, to string) error {
	f, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL, 0o600) // VACUUM INTO takes an empty file and keeps its rights
	if err != nil {
		return err
	}
	f.Close()
	db, err := connect(from, 1, wait)
	if err != nil {
		return err
	}
	defer db.Close()
	_, err = db.ExecContext(ctx, `VACUUM INTO ?`, to)
	return err
}

// copyBackup copies a backup byte by byte and checks the copy: that it is ours,
// sound and not of a newer program.
func copyBackup(ctx context.Context, file, tmp string) error {
	if err := copyFile(file, tmp); err != nil {
		return fmt.Errorf("the backup cannot be read: %w", err)
	}
	info, err := os.Stat(tmp)
	if err == nil && info.Size() == 0 {
		return refuse(BadInput, "give a file that seamwright backup wrote", "%s is empty", file)
	}
	if err := checkOurs(tmp); err != nil {
		return refuse(BadInput, "give a file that seamwright backup wrote", "%s is not a backup of this program", file)
	}
	db, err := connect(tmp, 1, wait, "synchronous(FULL)")
	if err != nil {
		return err
	}
	defer db.Close()
	if err := whole(ctx, db); err != nil {
		return err
	}
	p, err := provider(db)
	if err != nil {
		return err
	}
	have, err := p.GetDBVersion(ctx)
	if err == nil && have > newest(p) {
		return tooNew(have, newest(p))
	}
	return err
}

// whole lets SQLite check every page, and that every row has what it points to.
func whole(ctx context.Context, db *sql.DB) error {
	var verdict string
	err := db.QueryRowContext(ctx, `PRAGMA integrity_check`).Scan(&verdict)
	if err == nil && verdict != "ok" {
		err = errors.New(verdict)
	}
	if err == nil {
		var table string
		if e := db.QueryRowContext(ctx, `SELECT "table" FROM pragma_foreign_key_check`).Scan(&table); !errors.Is(e, sql.ErrNoRows) {
			err = errors.Join(fmt.Errorf("a row of %s points nowhere", table), e)
		}
	}
	if err != nil {
		return refuse(BadInput, "use another backup", "the copy is damaged: %v", err)
	}
	return nil
}

// setAside keeps the old store under another name. Its log is written into it
// first, or a new store would inherit the log. The old name stays in place
// until the new store is moved over it, so that at every moment one of them
// stands. A store too damaged for that is moved away with its log.
func setAside(old string, at time.Time) (string, error) {
	kept := filepath.Join(filepath.Dir(old), "before-restore-"+at.UTC().Format("20060102-150405")+".db")
	if _, err := os.Stat(kept); err == nil {
		return "", refuse(Exists, "wait a second and restore again", "%s exists", kept)
	}
	db, err := connect(old, 1, wait, "journal_mode(DELETE)")
	if err == nil {
		var mode string
		err = errors.Join(db.QueryRow("PRAGMA journal_mode").Scan(&mode), db.Close())
		if err == nil && mode == "delete" {
			return kept, copyFile(old, kept)
		}
	}
	for _, tail := range []string{"-wal", "-shm", ""} {
		if e := os.Rename(old+tail, kept+tail); e != nil && !errors.Is(e, fs.ErrNotExist) {
			return "", fmt.Errorf("the old store cannot be moved away (%w)", errors.Join(err, e))
		}
	}
	return kept, nil
}

func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Sync(), out.Close())
}
