package store

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"
)

var ctx = context.Background()

func opened(t testing.TB) *Store {
	t.Helper()
	s, err := Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func doc(name string, more ...string) json.RawMessage {
	return json.RawMessage(fmt.Sprintf(`{"seamwright":1,"name":%q%s}`, name, strings.Join(append([]string{""}, more...), ",")))
}

func created(t testing.TB, s *Store, d json.RawMessage) Saved {
	t.Helper()
	out, err := s.Create(ctx, "", Change{Doc: d, Device: "yard phone"}, false)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func saving(t testing.TB, s *Store, id string, c Change) Saved {
	t.Helper()
	out, err := s.Save(ctx, id, c)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func wantCode(t testing.TB, err error, code string) {
	t.Helper()
	if !Is(err, code) {
		t.Errorf("got %v, want a refusal %q", err, code)
	}
}

// What was saved is there after the program was started again, in a folder
// whose name holds what an address would treat specially.
func TestSavedIsThereAfterRestart(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "job store 50% #1 ?x=y")
	s, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if !s.Fresh() {
		t.Error("a new folder is not fresh")
	}
	a := created(t, s, doc("a", `"number":"7"`, `"customer":"Nobody"`))
	saving(t, s, a.Job.ID, Change{Expected: 1, Doc: doc("b"), Note: "second"})
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if s, err = Open(dir); err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if s.Fresh() {
		t.Error("an old folder is fresh")
	}
	j, err := s.Job(ctx, a.Job.ID)
	if err != nil || j.Name != "b" || j.Head != 2 || j.Number != "" {
		t.Errorf("%+v %v", j, err)
	}
	v, err := s.Version(ctx, a.Job.ID, 1)
	if err != nil || string(v.Doc) != `{"seamwright":1,"name":"a","number":"7","customer":"Nobody"}` || v.Device != "yard phone" {
		t.Errorf("%+v %v", v, err)
	}
	all, err := s.Versions(ctx, a.Job.ID)
	if err != nil || len(all) != 2 || all[0].N != 2 || all[0].Parent != 1 || all[0].Note != "second" || all[0].Doc != nil {
		t.Errorf("%+v %v", all, err)
	}
}

// Two people change one version: both keep their work, and it shows until one
// of them settles it.
func TestConflictKeepsBoth(t *testing.T) {
	s := opened(t)
	id := created(t, s, doc("roof")).Job.ID
	office := saving(t, s, id, Change{Expected: 1, Doc: doc("roof, office")})
	if office.Conflict != nil || office.Job.Head != 2 {
		t.Fatalf("%+v", office)
	}
	phone := saving(t, s, id, Change{Expected: 1, Doc: doc("roof, phone"), Device: "phone"})
	if phone.Conflict == nil || phone.Conflict.N != 2 || string(phone.Conflict.Doc) != string(doc("roof, office")) {
		t.Fatalf("the other side did not come back: %+v", phone)
	}
	if !phone.Version.Aside || string(phone.Version.Doc) != string(doc("roof, phone")) || phone.Job.Name != "roof, office" || phone.Job.Head != 2 {
		t.Errorf("%+v", phone)
	}
	// The phone goes on from what it has, still without having seen the office's.
	more := saving(t, s, id, Change{Expected: 3, Doc: doc("roof, phone, more")})
	if more.Conflict == nil || !reflect.DeepEqual(more.Job.Conflicts, []int{4}) {
		t.Errorf("%+v", more.Job)
	}
	_, err := s.Save(ctx, id, Change{Expected: 2, Doc: doc("x"), Merges: 3})
	wantCode(t, err, BadInput) // 4 went on from 3
	both := saving(t, s, id, Change{Expected: 2, Doc: doc("roof, both"), Merges: 4})
	if both.Conflict != nil || len(both.Job.Conflicts) != 0 || both.Job.Head != 5 {
		t.Errorf("%+v", both)
	}
	for n, want := range []string{"roof", "roof, office", "roof, phone", "roof, phone, more", "roof, both"} {
		if v, err := s.Version(ctx, id, n+1); err != nil || string(v.Doc) != string(doc(want)) {
			t.Errorf("version %d: %s %v", n+1, v.Doc, err)
		}
	}
	list, err := s.Jobs(ctx, false)
	if err != nil || len(list) != 1 || len(list[0].Conflicts) != 0 {
		t.Errorf("%+v %v", list, err)
	}
}

// A conflict settled by taking the office's side leaves the document as it is,
// and must count as settled all the same.
func TestSettleWithoutChange(t *testing.T) {
	s := opened(t)
	id := created(t, s, doc("roof")).Job.ID
	saving(t, s, id, Change{Expected: 1, Doc: doc("office")})
	saving(t, s, id, Change{Expected: 1, Doc: doc("phone")})
	if out := saving(t, s, id, Change{Expected: 2, Doc: doc("office"), Merges: 3}); len(out.Job.Conflicts) != 0 || out.Again {
		t.Errorf("%+v", out)
	}
}

// The network drops the answer and the phone sends again: nothing is doubled,
// and nobody is in conflict with himself.
func TestSendingTwiceStoresOnce(t *testing.T) {
	s := opened(t)
	c := Change{Doc: doc("a"), Key: "change-0001"}
	first, err := s.Create(ctx, "phone-made-1", c, false)
	if err != nil {
		t.Fatal(err)
	}
	again, err := s.Create(ctx, "phone-made-1", c, false)
	if err != nil || !again.Again || again.Version.N != first.Version.N {
		t.Errorf("%+v %v", again, err)
	}
	_, err = s.Create(ctx, "phone-made-1", Change{Doc: doc("other")}, false)
	wantCode(t, err, Exists)
	c = Change{Expected: 1, Doc: doc("b"), Key: "change-0002"}
	saving(t, s, "phone-made-1", c)
	saving(t, s, "phone-made-1", Change{Expected: 2, Doc: doc("c")})
	if out := saving(t, s, "phone-made-1", c); !out.Again || out.Version.N != 2 || out.Conflict != nil {
		t.Errorf("%+v", out)
	}
	if out := saving(t, s, "phone-made-1", Change{Expected: 1, Doc: doc("c")}); !out.Again || out.Conflict != nil || out.Job.Head != 3 {
		t.Errorf("the same document from another device is no conflict: %+v", out)
	}
}

// The answer to a save is lost and the person types on: the next save names the
// lost one and is no conflict, wherever the lost one ended up.
func TestAnswerLost(t *testing.T) {
	s := opened(t)
	id := created(t, s, doc("a")).Job.ID
	saving(t, s, id, Change{Expected: 1, Doc: doc("b"), Key: "lost-0001"})
	if out := saving(t, s, id, Change{Expected: 1, Doc: doc("c"), After: "lost-0001"}); out.Conflict != nil || out.Job.Head != 3 || out.Version.Parent != 2 {
		t.Errorf("%+v", out)
	}
	saving(t, s, id, Change{Expected: 1, Doc: doc("d"), Key: "lost-0002"}) // set aside as 4
	if out := saving(t, s, id, Change{Expected: 1, Doc: doc("e"), After: "lost-0002"}); out.Conflict == nil || out.Version.Parent != 4 || !reflect.DeepEqual(out.Job.Conflicts, []int{5}) {
		t.Errorf("%+v", out)
	}
	// One that never arrived, or was made from elsewhere, changes nothing.
	for _, after := range []string{"never-came", "lost-0001"} {
		if out := saving(t, s, id, Change{Expected: 3, Doc: doc("f " + after), After: after}); after == "never-came" && out.Conflict != nil || after == "lost-0001" && out.Conflict == nil {
			t.Errorf("%s: %+v", after, out)
		}
	}
}

func TestVersionsCannotBeTouched(t *testing.T) {
	s := opened(t)
	created(t, s, doc("a"))
	for _, q := range []string{`UPDATE versions SET doc = '{}'`, `DELETE FROM versions`} {
		if _, err := s.write.Exec(q); err == nil {
			t.Errorf("%s went through", q)
		}
	}
}

func TestChangesThatAreRefused(t *testing.T) {
	s := opened(t)
	id := created(t, s, doc("a")).Job.ID
	for name, c := range map[string]struct {
		change Change
		code   string
	}{
		"not JSON":            {Change{Expected: 1, Doc: json.RawMessage("units: inch")}, BadInput},
		"a list":              {Change{Expected: 1, Doc: json.RawMessage("[1]")}, BadInput},
		"two documents":       {Change{Expected: 1, Doc: json.RawMessage("{}{}")}, BadInput},
		"too big":             {Change{Expected: 1, Doc: doc("x", `"notes":"`+strings.Repeat("x", maxDoc)+`"`)}, TooBig},
		"too deep":            {Change{Expected: 1, Doc: json.RawMessage(`{"a":` + strings.Repeat("[", 2000) + strings.Repeat("]", 2000) + `}`)}, BadInput},
		"not UTF-8":           {Change{Expected: 1, Doc: json.RawMessage("{\"name\":\"\xff\"}")}, BadInput},
		"newer format":        {Change{Expected: 1, Doc: json.RawMessage(`{"seamwright":99}`)}, BadInput},
		"version unknown":     {Change{Expected: 9, Doc: doc("b")}, BadInput},
		"no version":          {Change{Doc: doc("b")}, BadInput},
		"nothing to settle":   {Change{Expected: 1, Doc: doc("b"), Merges: 1}, BadInput},
		"key is a path":       {Change{Expected: 1, Doc: doc("b"), Key: "../../etc/passwd"}, BadInput},
		"key is far too long": {Change{Expected: 1, Doc: doc("b"), Key: strings.Repeat("k", 65)}, BadInput},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := s.Save(ctx, id, c.change)
			wantCode(t, err, c.code)
			if j, err := s.Job(ctx, id); err != nil || j.Head != 1 || j.Name != "a" {
				t.Errorf("a refused change left something: %+v %v", j, err)
			}
		})
	}
	_, err := s.Save(ctx, "no-such-job", Change{Expected: 1, Doc: doc("b")})
	wantCode(t, err, NotFound)
	_, err = s.Create(ctx, "short", Change{Doc: doc("b")}, false)
	wantCode(t, err, BadInput)
}

// A draft with half the fields, or wrong ones, is kept: the person types on later.
func TestDraftsAreKept(t *testing.T) {
	s := opened(t)
	for _, d := range []string{`{}`, `{"name":5,"planes":"none yet"}`, `{"seamwright":"one"}`, `{"name":"` + strings.Repeat("n", 1000) + `"}`} {
		out := created(t, s, json.RawMessage(d))
		if v, err := s.Version(ctx, out.Job.ID, 0); err != nil || string(v.Doc) != d {
			t.Errorf("%s came back as %s, %v", d, v.Doc, err)
		}
	}
}

func TestDeleteReviveDuplicate(t *testing.T) {
	s := opened(t)
	id := created(t, s, doc("shed", `"notes":"<&>"`)).Job.ID
	if j, err := s.Delete(ctx, id); err != nil || j.Deleted == nil {
		t.Fatalf("%+v %v", j, err)
	}
	if l, err := s.Jobs(ctx, false); err != nil || len(l) != 0 {
		t.Errorf("%v %v", l, err)
	}
	if l, err := s.Jobs(ctx, true); err != nil || len(l) != 1 {
		t.Errorf("%v %v", l, err)
	}
	// Work done with no network on a job deleted meanwhile brings it back.
	if out := saving(t, s, id, Change{Expected: 1, Doc: doc("shed, on the roof")}); !out.Revived || out.Job.Deleted != nil {
		t.Errorf("%+v", out)
	}
	if _, err := s.Delete(ctx, id); err != nil {
		t.Fatal(err)
	}
	if j, err := s.Revive(ctx, id); err != nil || j.Deleted != nil {
		t.Errorf("%+v %v", j, err)
	}
	two, err := s.Duplicate(ctx, id, "", "desk")
	if err != nil || two.Job.ID == id || two.Job.Name != "shed, on the roof (copy)" || two.Job.Head != 1 {
		t.Errorf("%+v %v", two, err)
	}
	_, err = s.Delete(ctx, "no-such-job")
	wantCode(t, err, NotFound)
}

// Many phones at once: every change arrives, one line of versions stands.
func TestWritersDoNotLoseEachOther(t *testing.T) {
	s := opened(t)
	id := created(t, s, doc("a")).Job.ID
	const writers, each = 8, 25
	var wg sync.WaitGroup
	errs := make(chan error, writers*each)
	for w := range writers {
		wg.Go(func() {
			head := 1
			for i := range each {
				out, err := s.Save(ctx, id, Change{Expected: head, Doc: doc(fmt.Sprint(w, "-", i))})
				if err != nil {
					errs <- err
					continue
				}
				head = out.Job.Head
			}
		})
	}
	wg.Wait()
	close(errs)
	for err := range errs {
		t.Error(err)
	}
	all, err := s.Versions(ctx, id)
	if err != nil || len(all) != writers*each+1 {
		t.Errorf("%d versions, want %d, %v", len(all), writers*each+1, err)
	}
}

func TestTicks(t *testing.T) {
	s := opened(t)
	id := created(t, s, doc("a")).Job.ID
	at := time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)
	tick := func(id, step string, done bool, minute int) Tick {
		return Tick{ID: id, Step: step, Done: done, Version: 1, At: at.Add(time.Duration(minute) * time.Minute), Value: json.RawMessage(`{"read": "23 5/8\""}`)}
	}
	b, err := s.AddTicks(ctx, id, []Tick{tick("tick-0001", "cap S1", true, 0), tick("tick-0002", "cap S2", true, 5), tick("tick-0003", "cap S2", false, 3)}, "phone")
	if err != nil || len(b.Ticks) != 3 || !b.Steps["cap S2"].Done {
		t.Errorf("a tick of minute 3 that arrived late must not undo one of minute 5: %+v %v", b, err)
	}
	if string(b.Steps["cap S1"].Value) != `{"read":"23 5/8\""}` || !b.Steps["cap S1"].At.Equal(at) {
		t.Errorf("%+v", b.Steps["cap S1"])
	}
	if b, err = s.AddTicks(ctx, id, []Tick{tick("tick-0001", "cap S1", true, 0)}, "phone"); err != nil || len(b.Ticks) != 3 {
		t.Errorf("sent twice: %d ticks, %v", len(b.Ticks), err)
	}
	for name, bad := range map[string]Tick{
		"no id": tick("", "x", true, 0), "no step": tick("tick-0009", "", true, 0),
		"no time":     {ID: "tick-0009", Step: "x", Version: 1},
		"no version":  {ID: "tick-0009", Step: "x", At: at},
		"broken JSON": {ID: "tick-0009", Step: "x", At: at, Version: 1, Value: json.RawMessage("{")},
	} {
		if _, err := s.AddTicks(ctx, id, []Tick{tick("tick-0010", "y", true, 0), bad}, "phone"); !Is(err, BadInput) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if b, err := s.Build(ctx, id); err != nil || len(b.Ticks) != 3 {
		t.Errorf("a refused batch left ticks: %d %v", len(b.Ticks), err)
	}
}

var png = []byte("\x89PNG\r\n\x1a\n and some pixels")

func TestPhotos(t *testing.T) {
	s := opened(t)
	id := created(t, s, doc("a")).Job.ID
	p, err := s.AddPhoto(ctx, id, Photo{Step: "cap S1", Caption: "../../over the\nedge"}, png)
	if err != nil || p.Kind != "image/png" || p.Caption != "../../over the edge" {
		t.Fatalf("%+v %v", p, err)
	}
	again, err := s.AddPhoto(ctx, id, Photo{}, png)
	if err != nil || again.ID != p.ID {
		t.Errorf("the same picture was kept twice: %+v %v", again, err)
	}
	if kind, b, err := s.PhotoBytes(ctx, id, p.ID); err != nil || kind != "image/png" || string(b) != string(png) {
		t.Errorf("%s %q %v", kind, b, err)
	}
	for name, data := range map[string]string{"script": "<script>", "svg": `<svg xmlns="http://www.w3.org/2000/svg"/>`, "pdf": "%PDF-1.7", "nothing": ""} {
		if _, err := s.AddPhoto(ctx, id, Photo{}, []byte(data)); !Is(err, BadInput) {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, err = s.AddPhoto(ctx, id, Photo{}, make([]byte, MaxPhoto+1))
	wantCode(t, err, TooBig)
	_, err = s.AddPhoto(ctx, "no-such-job", Photo{}, png)
	wantCode(t, err, NotFound)
	if err := s.DeletePhoto(ctx, id, p.ID); err != nil {
		t.Error(err)
	}
	if l, err := s.Photos(ctx, id); err != nil || len(l) != 0 {
		t.Errorf("%v %v", l, err)
	}
	wantCode(t, s.DeletePhoto(ctx, id, p.ID), NotFound)
	other := created(t, s, doc("b")).Job.ID
	_, _, err = s.PhotoBytes(ctx, other, p.ID)
	wantCode(t, err, NotFound)
}

func TestPhotosAreCounted(t *testing.T) {
	s := opened(t)
	id := created(t, s, doc("a")).Job.ID
	for i := range maxJobPhotos {
		if _, err := s.AddPhoto(ctx, id, Photo{}, append(png[:len(png):len(png)], byte(i), byte(i>>8))); err != nil {
			t.Fatal(err)
		}
	}
	_, err := s.AddPhoto(ctx, id, Photo{}, append(png[:len(png):len(png)], "one more"...))
	wantCode(t, err, TooBig)
}

const ownShop = "# our own\nseamwright: 1\nunits: mm\nshop:\n  name: Own shop\n"

func TestCatalogueFiles(t *testing.T) {
	s := opened(t)
	text, err := os.ReadFile("../engine/builtin/data/shop-metric.yaml")
	if err != nil {
		t.Fatal(err)
	}
	f, _, err := s.SaveCatalogue(ctx, "own.yaml", string(text), 0, "desk")
	if err != nil || f.N != 1 {
		t.Fatalf("%+v %v", f, err)
	}
	_, _, err = s.SaveCatalogue(ctx, "own.yaml", string(text), 0, "other desk")
	wantCode(t, err, Stale)
	_, problems, err := s.SaveCatalogue(ctx, "own.yaml", ownShop+"  kerf: wide\n", 1, "desk")
	wantCode(t, err, BadInput)
	if len(problems) == 0 || problems[0].File != "own.yaml" || problems[0].Line == 0 {
		t.Errorf("%+v", problems)
	}
	for _, name := range []string{"../own.yaml", "own", ".yaml", "a/b.yaml", "CON.yaml\x00", strings.Repeat("a", 70) + ".yaml"} {
		if _, _, err := s.SaveCatalogue(ctx, name, string(text), 0, ""); !Is(err, BadInput) {
			t.Errorf("%q: %v", name, err)
		}
	}
	if l, err := s.Catalogues(ctx); err != nil || len(l) != 1 || l[0].Text != string(text) {
		t.Errorf("%d files, %v", len(l), err)
	}
	wantCode(t, s.DeleteCatalogue(ctx, "own.yaml", 7, "desk"), Stale)
	if err := s.DeleteCatalogue(ctx, "own.yaml", 1, "desk"); err != nil {
		t.Error(err)
	}
	_, err = s.Catalogue(ctx, "own.yaml")
	wantCode(t, err, NotFound)
	if f, _, err = s.SaveCatalogue(ctx, "own.yaml", string(text), 0, "desk"); err != nil || f.N != 3 {
		t.Errorf("a deleted name cannot be used again: %+v %v", f, err)
	}
}

func TestSettingsAndSessions(t *testing.T) {
	s := opened(t)
	for _, v := range []string{"a", "b", ""} {
		if err := s.Set(ctx, "k", v); err != nil {
			t.Fatal(err)
		}
		if got, err := s.Setting(ctx, "k"); err != nil || got != v {
			t.Errorf("%q %v", got, err)
		}
	}
	now := time.Now()
	s.now = func() time.Time { return now }
	x := s.Sessions()
	if err := x.Commit("t", []byte("data"), now.Add(time.Minute)); err != nil {
		t.Fatal(err)
	}
	if b, ok, err := x.Find("t"); err != nil || !ok || string(b) != "data" {
		t.Errorf("%q %v %v", b, ok, err)
	}
	now = now.Add(time.Hour)
	if _, ok, _ := x.Find("t"); ok {
		t.Error("a session that ran out was found")
	}
	if err := x.Commit("u", nil, now.Add(time.Minute)); err == nil {
		t.Error("a session without data was kept")
	}
	if err := x.Commit("u", []byte{}, now.Add(time.Minute)); err != nil {
		t.Fatal(err)
	}
	var n int
	if err := s.read.QueryRow(`SELECT count(*) FROM sessions`).Scan(&n); err != nil || n != 1 {
		t.Errorf("%d rows, %v", n, err)
	}
	if err := s.EndSessions(ctx); err != nil {
		t.Error(err)
	}
	if _, ok, _ := x.Find("u"); ok {
		t.Error("a session survived")
	}
}

func TestFoldersThatCannotBeUsed(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := Open(file)
	wantCode(t, err, Unusable)
	_, err = Open(filepath.Join(file, "below"))
	wantCode(t, err, Unusable)

	for name, content := range map[string]string{"noise": "this is no database, it is a text that is a little longer than the header of one, which has one hundred bytes", "short": "x"} {
		d := filepath.Join(dir, name)
		if err := errors.Join(os.Mkdir(d, 0o700), os.WriteFile(filepath.Join(d, fileName), []byte(content), 0o600)); err != nil {
			t.Fatal(err)
		}
		_, err = Open(d)
		wantCode(t, err, Unusable)
		if b, _ := os.ReadFile(filepath.Join(d, fileName)); string(b) != content {
			t.Errorf("%s: the file was changed", name)
		}
	}

	d := filepath.Join(dir, "foreign")
	if err := os.Mkdir(d, 0o700); err != nil {
		t.Fatal(err)
	}
	db, err := connect(filepath.Join(d, fileName), 1)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("CREATE TABLE theirs (x)"); err != nil {
		t.Fatal(err)
	}
	db.Close()
	_, err = Open(d)
	wantCode(t, err, Unusable)
}

func TestOneProcessAFolder(t *testing.T) {
	s := opened(t)
	_, err := Open(s.dir)
	wantCode(t, err, InUse)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	again, err := Open(s.dir)
	if err != nil {
		t.Fatal(err)
	}
	again.Close()
}

func TestNewerStoreIsLeftAlone(t *testing.T) {
	s := opened(t)
	if _, err := s.write.Exec(`INSERT INTO goose_db_version (version_id, is_applied) VALUES (999, 1)`); err != nil {
		t.Fatal(err)
	}
	s.Close()
	_, err := Open(s.dir)
	wantCode(t, err, Unusable)
	if err == nil || !strings.Contains(err.Error(), "newer program") {
		t.Error(err)
	}
}
