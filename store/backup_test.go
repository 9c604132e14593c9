package store

import (
	"bytes"
	"compress/gzip"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A backup taken beside a running server holds what had been acknowledged, and
// nobody's session.
func TestBackupAndRestore(t *testing.T) {
	s := opened(t)
	id := created(t, s, doc("kept")).Job.ID
	if err := s.Sessions().Commit("token", []byte("x"), time.Now().Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "friday.db")
	if err := Backup(ctx, s.dir, file, false); err != nil {
		t.Fatal(err)
	}
	if b, err := os.ReadFile(file); err != nil || bytes.Contains(b, []byte("token\x00")) {
		t.Error("the backup holds a session", err)
	}
	saving(t, s, id, Change{Expected: 1, Doc: doc("after the backup")})
	wantCode(t, Backup(ctx, s.dir, file, false), Exists)

	_, err := Restore(ctx, s.dir, file, true)
	wantCode(t, err, InUse)
	s.Close()
	_, err = Restore(ctx, s.dir, file, false)
	wantCode(t, err, Exists)
	kept, err := Restore(ctx, s.dir, file, true)
	if err != nil {
		t.Fatal(err)
	}
	back, err := Open(s.dir)
	if err != nil {
		t.Fatal(err)
	}
	defer back.Close()
	if j, err := back.Job(ctx, id); err != nil || j.Name != "kept" {
		t.Errorf("%+v %v", j, err)
	}
	if _, ok, _ := back.Sessions().Find("token"); ok {
		t.Error("a session came back")
	}
	// What was replaced can be had back too.
	elsewhere := filepath.Join(t.TempDir(), "new folder")
	if _, err := Restore(ctx, elsewhere, kept, false); err != nil {
		t.Fatal(err)
	}
	old, err := Open(elsewhere)
	if err != nil {
		t.Fatal(err)
	}
	defer old.Close()
	if j, err := old.Job(ctx, id); err != nil || j.Name != "after the backup" {
		t.Errorf("%+v %v", j, err)
	}
}

// A restore that fails leaves the store as it was, log and all.
func TestBadBackupsAreRefused(t *testing.T) {
	s := opened(t)
	id := created(t, s, doc("kept", `"notes":"`+strings.Repeat("n", 9000)+`"`)).Job.ID
	good := filepath.Join(t.TempDir(), "good.db")
	if err := Backup(ctx, s.dir, good, false); err != nil {
		t.Fatal(err)
	}
	s.Close()
	whole, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	torn := bytes.Clone(whole)
	for i := 4096; i < len(torn); i += 16 {
		torn[i] ^= 0x55
	}
	newer := filepath.Join(t.TempDir(), "newer.db")
	if err := os.WriteFile(newer, whole, 0o600); err != nil {
		t.Fatal(err)
	}
	db, err := connect(newer, 1)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec(`INSERT INTO goose_db_version (version_id, is_applied) VALUES (999, 1)`); err != nil {
		t.Fatal(err)
	}
	db.Close()
	future, err := os.ReadFile(newer)
	if err != nil {
		t.Fatal(err)
	}
	for name, content := range map[string][]byte{"empty": {}, "text": []byte(strings.Repeat("no database ", 50)), "cut off": whole[:len(whole)/2], "torn": torn, "newer": future} {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "backup.db")
			if err := os.WriteFile(file, content, 0o600); err != nil {
				t.Fatal(err)
			}
			if _, err := Restore(ctx, s.dir, file, true); err == nil {
				t.Error("it was taken")
			}
			entries, _ := os.ReadDir(s.dir)
			for _, e := range entries {
				if strings.HasPrefix(e.Name(), ".seamwright-") || strings.HasPrefix(e.Name(), "before") {
					t.Errorf("%s was left behind", e.Name())
				}
			}
			again, err := Open(s.dir)
			if err != nil {
				t.Fatal(err)
			}
			defer again.Close()
			if j, err := again.Job(ctx, id); err != nil || j.Name != "kept" {
				t.Errorf("%+v %v", j, err)
			}
		})
	}
	_, err = Restore(ctx, s.dir, filepath.Join(t.TempDir(), "missing.db"), true)
	wantCode(t, err, NotFound)
	wantCode(t, Backup(ctx, t.TempDir(), filepath.Join(t.TempDir(), "x.db"), false), NotFound)
}

// The day a backup is needed is the day the store is broken, with a log beside
// it that must not run into the new one.
func TestRestoreOverADamagedStore(t *testing.T) {
	s := opened(t)
	id := created(t, s, doc("kept")).Job.ID
	good := filepath.Join(t.TempDir(), "good.db")
	if err := Backup(ctx, s.dir, good, false); err != nil {
		t.Fatal(err)
	}
	s.Close()
	for _, tail := range []string{"", "-wal", "-shm"} {
		if err := os.WriteFile(filepath.Join(s.dir, fileName+tail), []byte(strings.Repeat("garbage ", 9000)), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	_, err := Open(s.dir)
	wantCode(t, err, Unusable)
	kept, err := Restore(ctx, s.dir, good, true)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(kept); err != nil {
		t.Error("the damaged store was thrown away", err)
	}
	back, err := Open(s.dir)
	if err != nil {
		t.Fatal(err)
	}
	defer back.Close()
	if j, err := back.Job(ctx, id); err != nil || j.Name != "kept" {
		t.Errorf("%+v %v", j, err)
	}
}

var keep = flag.String("keep-store", "", "write an example of today's store to this file, for testdata")

// A store that an older program wrote opens with all that is in it. One example
// of every schema is kept; today's is written by
//
//	go test ./store -run OldStores -keep-store testdata/schema-N.db.gz
func TestOldStoresOpen(t *testing.T) {
	if *keep != "" {
		writeExample(t, *keep)
	}
	files, err := filepath.Glob("testdata/schema-*.db.gz")
	if err != nil {
		t.Fatal(err)
	}
	fresh := opened(t)
	p, err := provider(fresh.write)
	if err != nil {
		t.Fatal(err)
	}
	if int64(len(files)) != newest(p) {
		t.Errorf("%d example stores for %d schemas", len(files), newest(p))
	}
	for _, f := range files {
		t.Run(filepath.Base(f), func(t *testing.T) {
			dir := t.TempDir()
			unpack(t, f, filepath.Join(dir, fileName))
			s, err := Open(dir)
			if err != nil {
				t.Fatal(err)
			}
			defer s.Close()
			checkExample(t, s)
		})
	}
}

func unpack(t *testing.T, from, to string) {
	t.Helper()
	f, err := os.Open(from)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	b, err := io.ReadAll(z)
	if err == nil {
		err = os.WriteFile(to, b, 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
}

func writeExample(t *testing.T, to string) {
	s := opened(t)
	at := time.Date(2026, 11, 25, 14, 0, 0, 0, time.UTC)
	s.now = func() time.Time { return at }
	shop, err := os.ReadFile("../engine/builtin/data/shop-inch.yaml")
	if err != nil {
		t.Fatal(err)
	}
	steps := []func() error{
		func() error {
			_, err := s.Create(ctx, "example-job", Change{Doc: doc("first"), Key: "example-1", Device: "phone", Original: []byte("# as it came\n")}, true)
			return err
		},
		func() error {
			_, err := s.Save(ctx, "example-job", Change{Expected: 1, Doc: doc("second", `"number":"E-1"`), Key: "example-2"})
			return err
		},
		func() error {
			_, err := s.Save(ctx, "example-job", Change{Expected: 1, Doc: doc("aside"), Key: "example-3"})
			return err
		},
		func() error {
			_, err := s.AddTicks(ctx, "example-job", []Tick{{ID: "example-tick", Step: "cap S1", Done: true, Version: 2, At: at}}, "phone")
			return err
		},
		func() error { _, err := s.AddPhoto(ctx, "example-job", Photo{Step: "cap S1"}, png); return err },
		func() error { _, _, err := s.SaveCatalogue(ctx, "own-shop.yaml", string(shop), 0, "desk"); return err },
		func() error { return s.Set(ctx, "key", "value") },
	}
	for i, do := range steps {
		if err := do(); err != nil {
			t.Fatal(i, err)
		}
	}
	copied := filepath.Join(t.TempDir(), "copy.db")
	if err := Backup(ctx, s.dir, copied, false); err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(copied)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	z, _ := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if _, err := z.Write(b); err != nil {
		t.Fatal(err)
	}
	z.Close()
	if err := os.WriteFile(to, out.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

func checkExample(t *testing.T, s *Store) {
	j, err := s.Job(ctx, "example-job")
	if err != nil || j.Name != "second" || j.Number != "E-1" || j.Head != 2 || !j.Demo || len(j.Conflicts) != 1 {
		t.Errorf("%+v %v", j, err)
	}
	for n, want := range []string{`{"seamwright":1,"name":"first"}`, `{"seamwright":1,"name":"second","number":"E-1"}`, `{"seamwright":1,"name":"aside"}`} {
		if v, err := s.Version(ctx, "example-job", n+1); err != nil || string(v.stored) != want {
			t.Errorf("%s %v", v.stored, err)
		}
	}
	if b, err := s.Original(ctx, "example-job", 1); err != nil || string(b) != "# as it came\n" {
		t.Errorf("%q %v", b, err)
	}
	if b, err := s.Build(ctx, "example-job"); err != nil || !b.Steps["cap S1"].Done {
		t.Errorf("%+v %v", b, err)
	}
	if l, err := s.Photos(ctx, "example-job"); err != nil || len(l) != 1 || l[0].Size != len(png) {
		t.Errorf("%+v %v", l, err)
	}
	if f, err := s.Catalogue(ctx, "own-shop.yaml"); err != nil || !strings.Contains(f.Text, "shop:") {
		t.Errorf("%v", err)
	}
	if v, err := s.Setting(ctx, "key"); err != nil || v != "value" {
		t.Errorf("%q %v", v, err)
	}
	if _, err := s.Save(ctx, "example-job", Change{Expected: 2, Doc: doc("goes on"), Merges: 3}); err != nil {
		t.Error(err)
	}
}
