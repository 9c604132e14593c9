package httpapi

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"github.com/andybalholm/brotli"

	"seamwright/engine/builtin"
	"seamwright/engine/fileform"
	"seamwright/engine/plan"
	"seamwright/examples"
	"seamwright/store"
)

// site is a real server on a port of its own.
type site struct {
	t      testing.TB
	url    string
	server *Server
	store  *store.Store
	http   *http.Client
	stop   func() error
}

func started(t testing.TB, change func(*Config)) *site {
	t.Helper()
	st, err := store.Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	if err := AddDemos(context.Background(), st); err != nil {
		t.Fatal(err)
	}
	return serving(t, st, change)
}

func serving(t testing.TB, st *store.Store, change func(*Config)) *site {
	t.Helper()
	c := Config{Store: st, Version: "test"}
	if change != nil {
		change(&c)
	}
	s, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Serve(ctx, ln, "", "") }()
	jar, _ := cookiejar.New(nil)
	once := sync.OnceValue(func() error { cancel(); return <-done })
	t.Cleanup(func() { once() })
	return &site{t, "http://" + ln.Addr().String(), s, st, &http.Client{Jar: jar, Timeout: 30 * time.Second}, once}
}

// answer is what came back.
type answer struct {
	status int
	header http.Header
	body   []byte
}

func (a answer) into(t testing.TB, v any) {
	t.Helper()
	if err := json.Unmarshal(a.body, v); err != nil {
		t.Fatalf("%v: %s", err, a.body)
	}
}

// says reads the words of a refusal.
func (a answer) says(t testing.TB) refusal {
	t.Helper()
	var r refusal
	a.into(t, &r)
	if r.Code == "" || r.Message == "" {
		t.Errorf("a refusal without code or words: %s", a.body)
	}
	return r
}

func (s *site) call(method, path string, send any, headers ...string) answer {
	s.t.Helper()
	var body io.Reader
	switch x := send.(type) {
	case nil:
	case string:
		body = strings.NewReader(x)
	case []byte:
		body = bytes.NewReader(x)
	default:
		b, err := json.Marshal(x)
		if err != nil {
			s.t.Fatal(err)
		}
		body = bytes.NewReader(b)
	}
	r, err := http.NewRequest(method, s.url+path, body)
	if err != nil {
		s.t.Fatal(err)
	}
	for i := 0; i+1 < len(headers); i += 2 {
		if headers[i] == "Host" {
			r.Host = headers[i+1]
		}
		r.Header.Set(headers[i], headers[i+1])
	}
	res, err := s.http.Do(r)
	if err != nil {
		s.t.Fatal(err)
	}
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	return answer{res.StatusCode, res.Header, b}
}

func (s *site) want(status int, method, path string, send any, headers ...string) answer {
	s.t.Helper()
	a := s.call(method, path, send, headers...)
	if a.status != status {
		s.t.Fatalf("%s %s: %d, want %d: %.600s", method, path, a.status, status, a.body)
	}
	return a
}

const demo = "/api/jobs/demo-lean-16x12"

func exampleText(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "examples", name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The first start shows the demo jobs; a demo that was deleted stays away, and
// a changed one stays changed.
func TestDemoJobs(t *testing.T) {
	s := started(t, nil)
	var list struct{ Jobs []store.Job }
	s.want(200, "GET", "/api/jobs", nil).into(t, &list)
	if len(list.Jobs) != len(examples.Jobs()) || len(list.Jobs) < 5 || !list.Jobs[0].Demo {
		t.Fatalf("%+v", list)
	}
	s.want(200, "DELETE", demo, nil)
	if err := AddDemos(context.Background(), s.store); err != nil {
		t.Fatal(err)
	}
	s.want(200, "GET", "/api/jobs", nil).into(t, &list)
	if len(list.Jobs) != len(examples.Jobs())-1 {
		t.Errorf("%d jobs after one was deleted", len(list.Jobs))
	}
}

// The same job through the server, sent or stored, and through the engine as
// the command line calls it: the same plan to the last byte.
func TestEqualPlans(t *testing.T) {
	s := started(t, nil)
	set, err := builtin.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range examples.Jobs() {
		t.Run(x.Name, func(t *testing.T) {
			j, _, problems := fileform.ReadJob(x.Name, x.Text)
			if fileform.Refuses(problems) {
				t.Fatal(fileform.Text(problems))
			}
			var b bytes.Buffer
			e := json.NewEncoder(&b)
			e.SetEscapeHTML(false)
			if err := e.Encode(plan.Run(plan.Input{Job: j, Systems: set.Systems, Shop: set.Shop(j.Units)})); err != nil {
				t.Fatal(err)
			}
			want := strings.TrimSpace(b.String())
			stored := "/api/jobs/demo-" + strings.TrimSuffix(x.Name, ".yaml") + "/plan"
			for name, a := range map[string]answer{"sent": s.want(200, "POST", "/api/plan?file="+x.Name, x.Text), "stored": s.want(200, "GET", stored, nil)} {
				var got struct{ Plan json.RawMessage }
				a.into(t, &got)
				if string(got.Plan) != want {
					t.Errorf("%s: the plan differs from the engine's", name)
				}
			}
		})
	}
}

// A plan comes packed to whoever says they can unpack it, and is the same plan.
func TestPackedPlan(t *testing.T) {
	s := started(t, nil)
	s.http.Transport = &http.Transport{DisableCompression: true}
	at := "/api/jobs/demo-square-8x8/plan"
	plain := s.want(200, "GET", at, nil)
	packed := s.want(200, "GET", at, nil, "Accept-Encoding", "gzip")
	z, err := gzip.NewReader(bytes.NewReader(packed.body))
	if err != nil {
		t.Fatal(err)
	}
	if b, err := io.ReadAll(z); err != nil || !bytes.Equal(b, plain.body) || packed.header.Get("Content-Encoding") != "gzip" || plain.header.Get("Content-Encoding") != "" {
		t.Errorf("%d bytes unpacked, %d plain, %v", len(b), len(plain.body), err)
	}
	if len(packed.body) > len(plain.body)/3 {
		t.Errorf("%d bytes packed of %d", len(packed.body), len(plain.body))
	}
}

// Wrong files get the words the command line prints.
func TestProblemTexts(t *testing.T) {
	s := started(t, nil)
	files, err := filepath.Glob("../engine/fileform/testdata/broken/*.yaml")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d files %v", len(files), err)
	}
	seen := 0
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(f)
		_, _, problems := fileform.ReadJob(name, text)
		if !fileform.Refuses(problems) {
			continue
		}
		seen++
		for _, path := range []string{"/api/plan", "/api/papers", "/api/jobs/import"} {
			got := s.want(422, "POST", path+"?file="+url.QueryEscape(name), text).says(t)
			if got.Text != fileform.Text(problems) || len(got.Problems) != len(problems) {
				t.Errorf("%s of %s:\n%s\nwant\n%s", path, name, got.Text, fileform.Text(problems))
			}
		}
	}
	if seen < 10 {
		t.Errorf("only %d files were refused", seen)
	}
	var list struct{ Jobs []store.Job }
	s.want(200, "GET", "/api/jobs", nil).into(t, &list)
	if len(list.Jobs) != len(examples.Jobs()) {
		t.Error("a refused import was stored")
	}
}

type savedJob struct {
	Job      store.Job
	Version  store.Version
	Conflict *store.Version
	Changes  []store.Difference
	Again    bool
}

// The life of a job: made, saved, in conflict, settled, copied, deleted.
func TestJobs(t *testing.T) {
	s := started(t, nil)
	var made savedJob
	s.want(201, "POST", "/api/jobs", map[string]any{"id": "from-the-phone", "key": "change-0001", "doc": json.RawMessage(`{"name":"Shed"}`)}, "Seamwright-Device", "phone").into(t, &made)
	if made.Job.Name != "Shed" || made.Version.N != 1 || made.Version.Device != "phone" {
		t.Errorf("%+v", made)
	}
	s.want(200, "POST", "/api/jobs", map[string]any{"id": "from-the-phone", "key": "change-0001", "doc": json.RawMessage(`{"name":"Shed"}`)})
	at := "/api/jobs/from-the-phone"
	s.want(200, "PUT", at, map[string]any{"expected": 1, "doc": json.RawMessage(`{"name":"Shed","notes":"office"}`)})
	var both savedJob
	a := s.want(409, "PUT", at, map[string]any{"expected": 1, "doc": json.RawMessage(`{"name":"Shed","notes":"roof"}`)})
	a.into(t, &both)
	if both.Version.N != 3 || both.Conflict == nil || both.Conflict.N != 2 || string(both.Conflict.Doc) != `{"name":"Shed","notes":"office"}` ||
		len(both.Changes) != 1 || both.Changes[0].Path != "notes" || string(both.Changes[0].To) != `"roof"` {
		t.Errorf("%s", a.body)
	}
	if r := a.says(t); r.Code != "conflict" || !strings.Contains(r.Hint, "merges 3") {
		t.Errorf("%+v", r)
	}
	s.want(200, "PUT", at, map[string]any{"expected": 2, "merges": 3, "doc": json.RawMessage(`{"name":"Shed","notes":"office and roof"}`)})
	var now struct {
		Job     store.Job
		Version store.Version
	}
	s.want(200, "GET", at, nil).into(t, &now)
	if now.Version.N != 4 || len(now.Job.Conflicts) != 0 {
		t.Errorf("%+v", now)
	}
	var versions struct{ Versions []store.Version }
	s.want(200, "GET", at+"/versions", nil).into(t, &versions)
	if len(versions.Versions) != 4 {
		t.Errorf("%+v", versions)
	}
	var d struct {
		From, To int
		Changes  []store.Difference
	}
	s.want(200, "GET", at+"/diff?from=1&to=4", nil).into(t, &d)
	if d.From != 1 || d.To != 4 || len(d.Changes) != 1 || d.Changes[0].From != nil {
		t.Errorf("%+v", d)
	}
	s.want(200, "GET", at+"/diff", nil).into(t, &d)
	if d.From != 2 || d.To != 4 {
		t.Errorf("%+v", d)
	}
	s.want(200, "GET", at+"/versions/1", nil)
	var copied savedJob
	s.want(201, "POST", at+"/duplicate", nil).into(t, &copied)
	if copied.Job.Name != "Shed (copy)" {
		t.Errorf("%+v", copied.Job)
	}
	s.want(200, "DELETE", at, nil)
	var deleted struct{ Jobs []store.Job }
	s.want(200, "GET", "/api/jobs?deleted=1", nil).into(t, &deleted)
	if len(deleted.Jobs) != 1 || deleted.Jobs[0].ID != "from-the-phone" {
		t.Errorf("%+v", deleted)
	}
	s.want(200, "POST", at+"/revive", nil)
	// A draft says what it lacks instead of a plan.
	if r := s.want(422, "GET", at+"/plan", nil).says(t); len(r.Problems) == 0 || !strings.Contains(r.Text, "planes") {
		t.Errorf("%+v", r)
	}
}

// What a person typed comes back as typed; the file itself byte for byte; and
// what is exported plans the same.
func TestImportAndExport(t *testing.T) {
	s := started(t, nil)
	text := exampleText(t, "lean-16x12.yaml")
	var in savedJob
	s.want(201, "POST", "/api/jobs/import?file=lean-16x12.yaml", text).into(t, &in)
	at := "/api/jobs/" + in.Job.ID
	if a := s.want(200, "GET", at+"/file?form=original", nil); !bytes.Equal(a.body, text) {
		t.Error("the original is not what was sent")
	}
	if !bytes.Contains(in.Version.Doc, []byte(`1/8`)) {
		t.Errorf("readings were rewritten: %s", in.Version.Doc)
	}
	want := s.want(200, "POST", "/api/plan", text).body
	for _, form := range []string{"yaml", "json"} {
		a := s.want(200, "GET", at+"/file?form="+form, nil)
		if !strings.Contains(a.header.Get("Content-Disposition"), "."+form+`"`) {
			t.Errorf("%s", a.header)
		}
		if got := s.want(200, "POST", "/api/plan", a.body).body; !bytes.Equal(got, want) {
			t.Errorf("the job exported as %s plans differently", form)
		}
	}
	s.want(400, "GET", at+"/file?form=docx", nil).says(t)
	var draft savedJob
	s.want(201, "POST", "/api/jobs", map[string]any{"doc": json.RawMessage(`{"name":"../../etc/passwd\r\nX: y"}`)}).into(t, &draft)
	s.want(422, "GET", "/api/jobs/"+draft.Job.ID+"/file", nil).says(t)
	s.want(404, "GET", "/api/jobs/"+draft.Job.ID+"/file?form=original", nil).says(t)
	if a := s.want(200, "GET", "/api/jobs/"+draft.Job.ID+"/file?form=json", nil); a.header.Get("Content-Disposition") != `attachment; filename="etc-passwd-x-y.json"` {
		t.Error(a.header.Get("Content-Disposition"))
	}
}

func TestPapers(t *testing.T) {
	s := started(t, nil)
	a := s.want(200, "GET", demo+"/papers", nil)
	z, err := zip.NewReader(bytes.NewReader(a.body), int64(len(a.body)))
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	for _, f := range z.File {
		names[f.Name] = true
	}
	if !names["site-sheet.pdf"] || !names["yard-sheet.pdf"] || len(names) < 5 {
		t.Errorf("%v", names)
	}
	one := s.want(200, "GET", demo+"/papers?only=site-sheet.pdf", nil)
	if !bytes.HasPrefix(one.body, []byte("%PDF-")) || one.header.Get("Content-Type") != "application/pdf" {
		t.Errorf("%s %.20q", one.header.Get("Content-Type"), one.body)
	}
	sent := s.want(200, "POST", "/api/papers?only=site-sheet.pdf", exampleText(t, "lean-16x12.yaml"))
	if !bytes.Equal(sent.body, one.body) {
		t.Error("the paper of the same job, sent, is another")
	}
	if r := s.want(404, "GET", demo+"/papers?only=../../x", nil).says(t); !strings.Contains(r.Hint, "site-sheet.pdf") {
		t.Errorf("%+v", r)
	}
}

func TestCatalogue(t *testing.T) {
	s := started(t, nil)
	var list struct{ Files []catalogueFile }
	s.want(200, "GET", "/api/catalogue", nil).into(t, &list)
	if len(list.Files) != len(builtin.Names()) || !list.Files[0].Builtin {
		t.Fatalf("%+v", list)
	}
	var f struct{ File catalogueFile }
	s.want(200, "GET", "/api/catalogue/shop-inch.yaml", nil).into(t, &f)
	own := strings.Replace(f.File.Text, "name: ", "name: Own ", 1)
	before := s.want(200, "GET", demo+"/plan", nil).body
	s.want(200, "PUT", "/api/catalogue/own.yaml", map[string]any{"expected": 0, "text": own})
	after := s.want(200, "GET", demo+"/plan", nil).body
	if bytes.Equal(before, after) || !bytes.Contains(after, []byte(`"shop":"Own `)) {
		t.Error("the firm's own shop was not used")
	}
	if got := s.want(200, "GET", demo+"/plan?catalogue=", nil).body; !bytes.Equal(got, before) {
		t.Error("a plan without own files used them")
	}
	if got := s.want(200, "GET", demo+"/plan?catalogue=own.yaml", nil).body; !bytes.Equal(got, after) {
		t.Error("a plan with the file named did not use it")
	}
	s.want(404, "GET", demo+"/plan?catalogue=none.yaml", nil).says(t)
	s.want(409, "PUT", "/api/catalogue/own.yaml", map[string]any{"expected": 0, "text": own}).says(t)
	bad := strings.Replace(own, "units: ", "unit: ", 1)
	_, _, problems := fileform.ReadCatalogue("own.yaml", []byte(bad))
	if r := s.want(422, "PUT", "/api/catalogue/own.yaml", map[string]any{"expected": 1, "text": bad}).says(t); r.Text != fileform.Text(problems) || r.Text == "" {
		t.Errorf("%s\nwant\n%s", r.Text, fileform.Text(problems))
	}
	var check struct {
		Usable bool
		Text   string
	}
	s.want(200, "POST", "/api/catalogue/check?file=own.yaml", bad).into(t, &check)
	if check.Usable || check.Text != fileform.Text(problems) {
		t.Errorf("%+v", check)
	}
	s.want(409, "DELETE", "/api/catalogue/own.yaml", nil).says(t)
	s.want(200, "DELETE", "/api/catalogue/own.yaml?expected=1", nil)
	if got := s.want(200, "GET", demo+"/plan", nil).body; !bytes.Equal(got, before) {
		t.Error("a file taken out of use is still used")
	}
}

func TestBuildAndPhotos(t *testing.T) {
	s := started(t, nil)
	var b store.Build
	ticks := `{"ticks":[{"id":"tick-0001","step":"cap S1","done":true,"version":1,"at":"2026-06-01T09:30:00Z","value":{"read":"23 5/8\""}}]}`
	s.want(200, "POST", demo+"/build", ticks, "Seamwright-Device", "phone").into(t, &b)
	s.want(200, "POST", demo+"/build", ticks).into(t, &b)
	if len(b.Ticks) != 1 || !b.Steps["cap S1"].Done || b.Ticks[0].Device != "phone" {
		t.Errorf("%+v", b)
	}
	s.want(422, "POST", demo+"/build", `{"ticks":[{"id":"tick-0002","step":"","version":1,"at":"2026-06-01T09:30:00Z"}]}`).says(t)
	s.want(200, "GET", demo+"/build", nil)

	png := []byte("\x89PNG\r\n\x1a\n and some pixels")
	var p struct{ Photo store.Photo }
	s.want(201, "POST", demo+"/photos?step=cap+S1&caption=%2e%2e%2fup", png).into(t, &p)
	a := s.want(200, "GET", demo+"/photos/"+p.Photo.ID, nil)
	if !bytes.Equal(a.body, png) || a.header.Get("Content-Type") != "image/png" || a.header.Get("X-Content-Type-Options") != "nosniff" {
		t.Errorf("%v", a.header)
	}
	s.want(422, "POST", demo+"/photos", "<svg onload=alert(1)>").says(t)
	s.want(200, "DELETE", demo+"/photos/"+p.Photo.ID, nil)
	s.want(404, "GET", demo+"/photos/"+p.Photo.ID, nil).says(t)
}

// Requests that are wrong get an answer that says how.
func TestWrongRequests(t *testing.T) {
	s := started(t, nil)
	for _, c := range []struct {
		name, method, path string
		send               any
		status             int
		words              string
	}{
		{"no such call", "GET", "/api/nothing", nil, 404, "GET /api lists"},
		{"no such method", "PATCH", demo, nil, 404, "GET /api lists"},
		{"no such job", "GET", "/api/jobs/none-of-ours", nil, 404, "none-of-ours"},
		{"no such version", "GET", demo + "/versions/99", nil, 404, "version 99"},
		{"no number", "GET", demo + "/versions/x", nil, 400, "whole number"},
		{"negative", "GET", demo + "/plan?version=-1", nil, 400, "whole number"},
		{"nothing sent", "POST", "/api/jobs", nil, 400, "nothing was sent"},
		{"no JSON", "POST", "/api/jobs", "name: x", 400, "cannot be read"},
		{"a slip in a field", "PUT", demo, `{"expect":1,"doc":{}}`, 400, `unknown field \"expect\"`},
		{"two objects", "PUT", demo, `{"expected":1,"doc":{}}{}`, 400, "more follows"},
		{"another job's id", "PUT", demo, `{"id":"other-job","expected":1,"doc":{}}`, 400, "not the same"},
		{"no document", "PUT", demo, `{"expected":1}`, 422, "not a JSON object"},
		{"a job over the limit", "PUT", demo, `{"expected":1,"doc":{"notes":"` + strings.Repeat("x", 1<<20) + `"}}`, 413, "1 MiB"},
		{"far over the limit", "PUT", demo, `{"expected":1,"doc":{"notes":"` + strings.Repeat("x", 5<<20) + `"}}`, 413, "bytes were sent"},
		{"a file over the limit", "POST", "/api/plan", strings.Repeat("x", 1<<20+1), 422, "1 MiB"},
		{"a file far over the limit", "POST", "/api/plan", strings.Repeat("x", 1<<20+2), 413, "bytes were sent"},
		{"a photo over the limit", "POST", demo + "/photos", strings.Repeat("x", store.MaxPhoto+1), 413, "kept"},
		{"a body where none belongs", "DELETE", "/api/jobs/none-of-ours", "x", 404, "none-of-ours"},
		{"an empty file", "POST", "/api/plan", "", 422, "the file is empty"},
		{"a catalogue name that is a path", "PUT", "/api/catalogue/..%2f..%2fx.yaml", `{"expected":0,"text":""}`, 422, "not a name"},
		{"a job name that is a path", "POST", "/api/jobs", `{"id":"../../../x","doc":{}}`, 422, "not a name"},
		{"no such schema", "GET", "/api/schema/roof", nil, 404, "accepted: job, catalogue"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := s.want(c.status, c.method, c.path, c.send)
			a.says(t)
			if !bytes.Contains(a.body, []byte(c.words)) {
				t.Errorf("%.400s does not say %q", a.body, c.words)
			}
			if bytes.Contains(a.body, []byte(os.TempDir())) || bytes.Contains(a.body, []byte("sql")) {
				t.Errorf("the answer shows the inside: %.400s", a.body)
			}
		})
	}
	var got struct{ Job store.Job }
	s.want(200, "GET", demo, nil).into(t, &got)
	if got.Job.Head != 1 {
		t.Error("a wrong request changed the job")
	}
}

// GET /api lists every call and each answers under its own name.
func TestRoutes(t *testing.T) {
	s := started(t, nil)
	var list struct{ Routes []route }
	s.want(200, "GET", "/api", nil).into(t, &list)
	if len(list.Routes) < 30 {
		t.Errorf("%d routes", len(list.Routes))
	}
	for _, r := range list.Routes {
		if r.Doc == "" {
			t.Errorf("%s %s is not described", r.Method, r.Path)
		}
		path := strings.NewReplacer("{id}", "none-of-ours", "{n}", "1", "{photo}", "none", "{name}", "none.yaml", "{of}", "job").Replace(r.Path)
		if a := s.call(r.Method, path, nil); bytes.Contains(a.body, []byte("GET /api lists every call")) || a.status == 405 || a.status >= 500 {
			t.Errorf("%s %s: %d %s", r.Method, path, a.status, a.body)
		}
	}
	s.want(200, "GET", "/api/health", nil)
	for _, p := range []string{"/api/starter", "/api/schema/job", "/api/schema/catalogue"} {
		if a := s.want(200, "GET", p, nil); len(a.body) < 500 {
			t.Errorf("%s: %d bytes", p, len(a.body))
		}
	}
}

// A page elsewhere, or a name that was bent to 127.0.0.1, gets nothing.
func TestOthersPages(t *testing.T) {
	s := started(t, nil)
	port := s.url[strings.LastIndex(s.url, ":"):]
	for _, c := range []struct {
		name, method, path string
		status             int
		headers            []string
	}{
		{"our page", "POST", demo + "/duplicate", 201, []string{"Origin", s.url, "Sec-Fetch-Site", "same-origin"}},
		{"a program", "POST", demo + "/duplicate", 201, nil},
		{"another site", "POST", demo + "/duplicate", 403, []string{"Origin", "https://elsewhere.example", "Sec-Fetch-Site", "cross-site"}},
		{"another site, old browser", "POST", demo + "/duplicate", 403, []string{"Origin", "https://elsewhere.example"}},
		{"another port", "DELETE", demo, 403, []string{"Origin", "http://127.0.0.1:1", "Sec-Fetch-Site", "same-site"}},
		{"a bent name", "GET", "/api/jobs", 421, []string{"Host", "elsewhere.example" + port}},
		{"a bent name, the page", "GET", "/", 421, []string{"Host", "elsewhere.example" + port}},
		{"a name that begins like ours", "GET", "/api/jobs", 421, []string{"Host", "localhost.elsewhere.example"}},
		{"localhost", "GET", "/api/jobs", 200, []string{"Host", "LOCALHOST" + port}},
		{"IPv6", "GET", "/api/jobs", 200, []string{"Host", "[::1]" + port}},
	} {
		t.Run(c.name, func(t *testing.T) { s.want(c.status, c.method, c.path, nil, c.headers...) })
	}
}

func TestHeaders(t *testing.T) {
	s := started(t, nil)
	for _, path := range []string{"/", "/api/jobs", "/api/nothing", "/missing.js"} {
		h := s.call("GET", path, nil).header
		csp := h.Get("Content-Security-Policy")
		for _, directive := range strings.Split(csp, ";") {
			if f := strings.Fields(directive); len(f) > 0 && (f[0] == "script-src" || f[0] == "default-src") && strings.Contains(directive, "unsafe-inline") {
				t.Errorf("%s: %s", path, directive)
			}
		}
		if !strings.Contains(csp, "script-src 'self' 'wasm-unsafe-eval'") || !strings.Contains(csp, "default-src 'none'") || h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Referrer-Policy") != "no-referrer" {
			t.Errorf("%s: %v", path, h)
		}
		if strings.HasPrefix(path, "/api") && h.Get("Cache-Control") != "no-store" {
			t.Errorf("%s may be kept: %s", path, h.Get("Cache-Control"))
		}
	}
}

func packed(text string) []byte { return pack([]byte(text)) }

func tight(text string) []byte {
	var out bytes.Buffer
	z := brotli.NewWriter(&out)
	_, _ = z.Write([]byte(text))
	_ = z.Close()
	return out.Bytes()
}

func app() fs.FS {
	return fstest.MapFS{
		"index.html":       {Data: []byte("<!doctype html><script type=module src=/assets/app-1234.js></script>")},
		"assets/app-12.js": {Data: []byte(strings.Repeat("let roof = 1;\n", 200))},
		"sw.js":            {Data: []byte("// worker")},
		"engine.wasm.br":   {Data: tight("\x00asm the engine")},
		"engine.wasm.gz":   {Data: packed("\x00asm the engine")},
		"papers.wasm.gz":   {Data: packed("\x00asm papers")},
		"tight.wasm.br":    {Data: tight("\x00asm tight")},
		".gitkeep":         {},
	}
}

func TestAssets(t *testing.T) {
	s := started(t, func(c *Config) { c.Assets = app() })
	s.http.Transport = &http.Transport{DisableCompression: true}
	for _, c := range []struct {
		path, accept, kind, encoding, cache string
		status                              int
		text                                string // after unpacking
	}{
		{"/", "gzip", "text/html; charset=utf-8", "", "no-cache", 200, "<!doctype html><script type=module src=/assets/app-1234.js></script>"},
		{"/jobs/a/roof", "", "text/html; charset=utf-8", "", "no-cache", 200, "<!doctype html><script type=module src=/assets/app-1234.js></script>"},
		{"/assets/app-12.js", "br, gzip;q=0.5", "text/javascript; charset=utf-8", "gzip", "public, max-age=31536000, immutable", 200, strings.Repeat("let roof = 1;\n", 200)},
		{"/assets/app-12.js", "gzip;q=0", "text/javascript; charset=utf-8", "", "public, max-age=31536000, immutable", 200, strings.Repeat("let roof = 1;\n", 200)},
		{"/engine.wasm", "gzip", "application/wasm", "gzip", "no-cache", 200, "\x00asm the engine"},
		{"/engine.wasm.gz", "gzip", "application/gzip", "", "no-cache", 200, string(packed("\x00asm the engine"))},
		{"/engine.wasm", "*", "application/wasm", "br", "no-cache", 200, "\x00asm the engine"},
		{"/engine.wasm", "gzip, deflate, br", "application/wasm", "br", "no-cache", 200, "\x00asm the engine"},
		{"/engine.wasm", "br;q=0.5, gzip", "application/wasm", "gzip", "no-cache", 200, "\x00asm the engine"},
		{"/engine.wasm", "br;q=0, gzip", "application/wasm", "gzip", "no-cache", 200, "\x00asm the engine"},
		{"/papers.wasm", "gzip, br", "application/wasm", "gzip", "no-cache", 200, "\x00asm papers"},
		{"/tight.wasm", "gzip", "application/wasm", "", "no-cache", 200, "\x00asm tight"},
		{"/engine.wasm", "", "application/wasm", "", "no-cache", 200, "\x00asm the engine"},
		{"/.gitkeep", "", "text/plain; charset=utf-8", "", "", 404, "there is no such file\n"},
		{"/../../etc/passwd.txt", "", "text/plain; charset=utf-8", "", "", 404, "there is no such file\n"},
		{"/..%2f..%2fetc%2fpasswd.txt", "", "text/plain; charset=utf-8", "", "", 404, "there is no such file\n"},
	} {
		t.Run(c.path+" "+c.accept, func(t *testing.T) {
			a := s.want(c.status, "GET", c.path, nil, "Accept-Encoding", c.accept)
			text := a.body
			if a.header.Get("Content-Encoding") == "gzip" {
				z, err := gzip.NewReader(bytes.NewReader(a.body))
				if err != nil {
					t.Fatal(err)
				}
				if text, err = io.ReadAll(z); err != nil {
					t.Fatal(err)
				}
			}
			if a.header.Get("Content-Encoding") == "br" {
				var err error
				if text, err = io.ReadAll(brotli.NewReader(bytes.NewReader(a.body))); err != nil {
					t.Fatal(err)
				}
			}
			if string(text) != c.text || a.header.Get("Content-Type") != c.kind || a.header.Get("Content-Encoding") != c.encoding || a.header.Get("Cache-Control") != c.cache {
				t.Errorf("%v %.80q", a.header, text)
			}
			if tag := a.header.Get("ETag"); c.status == 200 {
				if b := s.want(304, "GET", c.path, nil, "Accept-Encoding", c.accept, "If-None-Match", `"other", W/`+tag); len(b.body) != 0 {
					t.Error("a 304 has a body")
				}
				if b := s.want(200, "HEAD", c.path, nil, "Accept-Encoding", c.accept); len(b.body) != 0 || b.header.Get("ETag") != tag {
					t.Errorf("HEAD: %v", b.header)
				}
			}
		})
	}
	s.want(405, "POST", "/", nil)
}

func TestUnbuiltApp(t *testing.T) {
	s := started(t, func(c *Config) { c.Assets = fstest.MapFS{".gitkeep": {}} })
	if a := s.want(200, "GET", "/", nil); !bytes.Contains(a.body, []byte("make run")) {
		t.Errorf("%s", a.body)
	}
	if _, err := newAssets(fstest.MapFS{"engine.wasm.gz": {Data: []byte("not packed")}}); err == nil {
		t.Error("a damaged engine was taken")
	}
	if _, err := newAssets(fstest.MapFS{"engine.wasm.br": {Data: []byte("not packed")}}); err == nil {
		t.Error("a damaged engine was taken")
	}
}

const word = "correct horse battery staple"

func locked(t testing.TB) *store.Store {
	t.Helper()
	st, err := store.Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	if err := SetPassword(context.Background(), st, word); err != nil {
		t.Fatal(err)
	}
	return st
}

func TestOpenNeedsPassword(t *testing.T) {
	st, err := store.Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	if _, err := New(Config{Store: st, Open: true}); !store.Is(err, "no-password") || !strings.Contains(err.Error(), "--set-password") {
		t.Error(err)
	}
	for _, p := range []string{"", "short", "123456789", strings.Repeat("x", longestPass+1)} {
		if err := SetPassword(context.Background(), st, p); !store.Is(err, store.BadInput) {
			t.Errorf("%q: %v", p, err)
		}
	}
	if err := SetPassword(context.Background(), st, word); err != nil {
		t.Fatal(err)
	}
	if _, err := New(Config{Store: st, Open: true}); err != nil {
		t.Error(err)
	}
	hash, _ := st.Setting(context.Background(), passwordKey)
	if !strings.HasPrefix(hash, "$argon2id$v=19$m=19456,t=2,p=1$") || strings.Contains(hash, "horse") {
		t.Error(hash)
	}
	if err := RemovePassword(context.Background(), st); err != nil {
		t.Fatal(err)
	}
	if _, err := New(Config{Store: st, Open: true}); err == nil {
		t.Error("the password was not removed")
	}
}

func TestMatches(t *testing.T) {
	for _, hash := range []string{"", "x", "$argon2id$v=19$m=19456,t=2,p=1$AAAA", "$argon2id$v=19$m=99999999,t=2,p=1$AAAA$AAAA", "$argon2id$v=19$m=8,t=0,p=1$AAAA$AAAA", "$argon2i$v=19$m=8,t=1,p=1$AAAA$AAAA", "$argon2id$v=19$m=8,t=1,p=1$AAAA$"} {
		if matches(hash, word) {
			t.Errorf("%q lets somebody in", hash)
		}
	}
}

// With a password, every call but the public ones asks for it; the session is
// a cookie no script can read and no other site can send.
func TestLogIn(t *testing.T) {
	st := locked(t)
	s := serving(t, st, nil)
	var list struct{ Routes []route }
	s.want(200, "GET", "/api", nil).into(t, &list)
	public := map[string]bool{"GET /api": true, "GET /api/health": true, "GET /api/session": true, "POST /api/session": true, "DELETE /api/session": true, "GET /api/log-in": true, "POST /api/log-in": true}
	for _, r := range list.Routes {
		path := strings.NewReplacer("{id}", "demo-x-y-z", "{n}", "1", "{photo}", "x", "{name}", "x.yaml", "{of}", "job").Replace(r.Path)
		if a := s.call(r.Method, path, nil); !public[r.Method+" "+r.Path] && (a.status != 401 || a.says(t).Code != "login") {
			t.Errorf("%s %s answers %d without log-in", r.Method, path, a.status)
		}
	}
	if a := s.call("GET", "/api/nothing", nil); a.status != 401 {
		t.Errorf("an unknown call answers %d", a.status)
	}
	s.want(200, "GET", "/", nil) // the app itself holds no job
	s.want(401, "POST", "/api/session", `{"password":"wrong"}`).says(t)
	a := s.want(200, "POST", "/api/session", map[string]string{"password": word})
	cookie := a.header.Get("Set-Cookie")
	for _, part := range []string{"HttpOnly", "SameSite=Strict", "Path=/"} {
		if !strings.Contains(cookie, part) {
			t.Errorf("%q lacks %s", cookie, part)
		}
	}
	s.want(200, "GET", "/api/jobs", nil)
	token, _, _ := strings.Cut(strings.TrimPrefix(cookie, "seamwright="), ";")
	if _, ok, _ := st.Sessions().Find(token); ok {
		t.Error("the store holds the token itself")
	}
	s.want(200, "DELETE", "/api/session", nil)
	s.want(401, "GET", "/api/jobs", nil)
	// The old token is worth nothing now, whoever kept it.
	s.want(401, "GET", "/api/jobs", nil, "Cookie", "seamwright="+token)
	// A new password logs everybody out.
	s.want(200, "POST", "/api/session", map[string]string{"password": word})
	if err := SetPassword(context.Background(), st, word+"r"); err != nil {
		t.Fatal(err)
	}
	s.want(401, "GET", "/api/jobs", nil)
}

// The page lets a person in with no script; what it says of a wrong password is
// what the call says.
func TestLogInPage(t *testing.T) {
	s := serving(t, locked(t), nil)
	if a := s.want(200, "GET", "/api/log-in", nil); !bytes.Contains(a.body, []byte(`type="password"`)) || bytes.Contains(a.body, []byte("<script")) {
		t.Errorf("%s", a.body)
	}
	form := func(word string) url.Values { return url.Values{"password": {word}} }
	res, err := s.http.PostForm(s.url+"/api/log-in", form("<wrong>"))
	if err != nil {
		t.Fatal(err)
	}
	b, _ := io.ReadAll(res.Body)
	res.Body.Close()
	if res.StatusCode != 401 || !bytes.Contains(b, []byte("The password is not right. Try again")) || bytes.Contains(b, []byte("<wrong>")) {
		t.Errorf("%d %s", res.StatusCode, b)
	}
	if res, err = s.http.PostForm(s.url+"/api/log-in", form(word)); err != nil || res.StatusCode != 200 || res.Request.URL.Path != "/" {
		t.Fatal(res, err)
	}
	res.Body.Close()
	s.want(200, "GET", "/api/jobs", nil)
	s.want(403, "POST", "/api/log-in", "password=x", "Content-Type", "application/x-www-form-urlencoded", "Origin", "https://elsewhere.example")
}

func TestLogInLimit(t *testing.T) {
	s := serving(t, locked(t), nil)
	var last answer
	for range ofOne + 1 {
		last = s.call("POST", "/api/session", `{"password":"guess guess"}`)
	}
	if last.status != 429 || last.header.Get("Retry-After") == "" {
		t.Errorf("%d %s", last.status, last.body)
	}
	s.want(429, "POST", "/api/session", map[string]string{"password": word})
}

func TestLimiter(t *testing.T) {
	l, now := newLimiter(), time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	for range ofOne {
		if l.take("a", now) != 0 {
			t.Fatal("refused too early")
		}
	}
	if w := l.take("a", now.Add(time.Minute)); w != window-time.Minute {
		t.Errorf("wait %v", w)
	}
	if l.take("b", now) != 0 {
		t.Error("one address blocks another")
	}
	l.forget("a")
	if l.take("a", now) != 0 {
		t.Error("somebody who knew the password is still refused")
	}
	if l.take("a", now.Add(window)) != 0 {
		t.Error("the window does not end")
	}
	for i := range ofAll + 1 {
		l.take(fmt.Sprint(i), now.Add(window))
	}
	if l.take("new", now.Add(window)) == 0 {
		t.Error("many addresses together guess without limit")
	}
	for remote, want := range map[string]string{"192.0.2.7:1": "192.0.2.7", "[2001:db8:1:2:3::4]:9": "2001:db8:1:2::/64", "[::ffff:192.0.2.7]:9": "192.0.2.7", "odd": "odd"} {
		if got := address(&http.Request{RemoteAddr: remote}); got != want {
			t.Errorf("%s counts as %s, want %s", remote, got, want)
		}
	}
}

func TestAllowedNames(t *testing.T) {
	st := locked(t)
	s := serving(t, st, func(c *Config) { c.Open, c.Hosts = true, []string{"Yard.example"} })
	s.want(200, "GET", "/api/health", nil, "Host", "yard.example:8000")
	s.want(421, "GET", "/api/health", nil, "Host", "other.example")
	open := serving(t, st, func(c *Config) { c.Open = true })
	open.want(200, "GET", "/api/health", nil, "Host", "192.0.2.1:80")
}

// A failure of ours is an answer without its inside, and the server goes on.
func TestPanics(t *testing.T) {
	s := started(t, nil)
	srv, err := New(Config{Store: s.store})
	if err != nil {
		t.Fatal(err)
	}
	h := srv.recovering(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("secret inside") }))
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	web := &http.Server{Handler: h}
	go web.Serve(ln)
	defer web.Close()
	other := &site{t: t, url: "http://" + ln.Addr().String(), http: http.DefaultClient}
	for range 2 {
		if a := other.want(500, "GET", "/", nil); bytes.Contains(a.body, []byte("secret")) {
			t.Errorf("%s", a.body)
		}
	}
}

// A store that fails is an answer too, and says nothing of its inside.
func TestStoreFails(t *testing.T) {
	s := started(t, nil)
	s.store.Close()
	if r := s.want(500, "GET", "/api/jobs", nil).says(t); r.Code != "failed" {
		t.Errorf("%+v", r)
	}
}

// Stopping finishes what is in hand.
func TestGracefulStop(t *testing.T) {
	s := started(t, nil)
	r, w := io.Pipe()
	result := make(chan answer, 1)
	go func() {
		req, _ := http.NewRequest("POST", s.url+"/api/plan", r)
		res, err := s.http.Do(req)
		if err != nil {
			result <- answer{}
			return
		}
		defer res.Body.Close()
		b, _ := io.ReadAll(res.Body)
		result <- answer{status: res.StatusCode, body: b}
	}()
	text := exampleText(t, "square-8x8.yaml")
	w.Write(text[:100])
	time.Sleep(500 * time.Millisecond) // until the request is in the server's hand, not only the client's
	stopped := make(chan error, 1)
	go func() { stopped <- s.stop() }()
	time.Sleep(100 * time.Millisecond)
	w.Write(text[100:])
	w.Close()
	if a := <-result; a.status != 200 {
		t.Errorf("the request in hand was cut off: %d %s", a.status, a.body)
	}
	if err := <-stopped; err != nil {
		t.Error(err)
	}
	if _, err := http.Get(s.url); err == nil {
		t.Error("the server still answers")
	}
}

// Many ask at once: everybody gets the plan of their own job, and one who goes
// away takes nobody's plan along.
func TestManyAtOnce(t *testing.T) {
	s := started(t, nil)
	names := []string{"square-8x8", "rafters-only", "lean-16x12"}
	want := map[string][]byte{}
	fresh := started(t, nil)
	for _, n := range names {
		want[n] = fresh.want(200, "GET", "/api/jobs/demo-"+n+"/plan", nil).body
	}
	var wg sync.WaitGroup
	for i := range 30 {
		wg.Go(func() {
			n := names[i%len(names)]
			if i < 3 {
				ctx, cancel := context.WithTimeout(context.Background(), time.Millisecond)
				defer cancel()
				r, _ := http.NewRequestWithContext(ctx, "GET", s.url+"/api/jobs/demo-"+n+"/plan", nil)
				if res, err := http.DefaultClient.Do(r); err == nil {
					res.Body.Close()
				}
				return
			}
			res, err := http.Get(s.url + "/api/jobs/demo-" + n + "/plan")
			if err != nil {
				t.Error(err)
				return
			}
			defer res.Body.Close()
			if b, err := io.ReadAll(res.Body); err != nil || !bytes.Equal(b, want[n]) {
				t.Errorf("%s: %d, another plan (%d bytes, %d wanted), %v", n, res.StatusCode, len(b), len(want[n]), err)
			}
		})
	}
	wg.Wait()
}
