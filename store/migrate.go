package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/pressly/goose/v3"
)

//go:embed migrations/*.sql
var migrations embed.FS

func provider(db *sql.DB) (*goose.Provider, error) {
	sub, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(goose.DialectSQLite3, db, sub)
}

// newest is the schema this program writes.
func newest(p *goose.Provider) int64 {
	all := p.ListSources()
	return all[len(all)-1].Version
}

// migrate brings the file up to date. Every step is one transaction.
func migrate(db *sql.DB) error {
	p, err := provider(db)
	if err != nil {
		return err
	}
	ctx := context.Background()
	have, err := p.GetDBVersion(ctx)
	if err != nil {
		return fmt.Errorf("the store cannot be read: %w", err)
	}
	if have > newest(p) {
		return tooNew(have, newest(p))
	}
	if have == newest(p) {
		return nil
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("the store cannot be brought up to date and was left as it was: %w", err)
	}
	return nil
}

func tooNew(have, want int64) error {
	return refuse(Unusable, "use the newer program, or another data folder: --data DIR", "the store was written by a newer program (schema %d; this one knows %d)", have, want)
}

// checkOurs refuses a file that is no SQLite file, or another program's. A
// missing or empty one is fine.
func checkOurs(file string) error {
	info, err := os.Stat(file)
	if errors.Is(err, fs.ErrNotExist) || err == nil && info.Mode().IsRegular() && info.Size() == 0 {
		return nil
	}
	if err != nil {
		return refuse(Unusable, "", "%s cannot be read: %v", file, err)
	}
	if !info.Mode().IsRegular() || info.Size() < 100 { // SQLite takes less than a header for an empty file
		return refuse(Unusable, "seamwright restore puts a backup in its place", "%s is not a usable store: it is too short or no file", file)
	}
	db, err := connect(file, 1, wait, "query_only(1)")
	if err != nil {
		return refuse(Unusable, "seamwright restore puts a backup in its place", "%s is not a usable store: %v", file, err)
	}
	defer db.Close()
	// A first start that was killed leaves the migration table and nothing else.
	var id, others int64
	err = db.QueryRow("PRAGMA application_id").Scan(&id)
	if err == nil {
		err = db.QueryRow("SELECT count(*) FROM sqlite_schema WHERE tbl_name NOT IN ('goose_db_version', 'sqlite_sequence')").Scan(&others)
	}
	if err != nil {
		return refuse(Unusable, "seamwright restore puts a backup in its place", "%s is not a usable store: %v", file, err)
	}
	if id != applicationID && others > 0 {
		return refuse(Unusable, "give another data folder: --data DIR", "%s belongs to another program", file)
	}
	return nil
}
