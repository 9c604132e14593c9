package httpapi

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"seamwright/store"
)

// The load: a firm of many phones, each call at its time whether or not the
// last one has been answered, so that a stall is counted for every call it
// delays.
const (
	loadRate = 200              // calls a second
	loadTime = 10 * time.Second // of one round
)

// mix is what each call of twenty is. Reading leads, then changes. Plans are of
// jobs that nobody is changing, whose plan is at hand; what a plan costs that
// has to be worked out is BenchmarkFreshPlan.
var mix = strings.Fields("list list list job job job job save save save save tick tick tick build versions diff plan plan page")

// BenchmarkLoad calls a real server on loopback and reports how long the calls
// take, from the moment each was due:
//
//	go test ./httpapi -run XXX -bench Load -benchtime 1x
func BenchmarkLoad(b *testing.B) {
	s := started(b, func(c *Config) { c.Assets = app() })
	s.http = &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 64, DisableCompression: true}, Timeout: 30 * time.Second}
	l := &load{site: s, by: map[string][]time.Duration{}}
	for i := range 20 {
		out, err := s.store.Duplicate(context.Background(), "demo-lean-16x12", fmt.Sprint("load ", i), "bench")
		if err != nil {
			b.Fatal(err)
		}
		l.jobs = append(l.jobs, &loadJob{id: out.Job.ID, head: 1, doc: out.Version.Doc})
	}
	for b.Loop() {
		l.round()
	}
	l.report(b)
}

// BenchmarkFreshPlan asks for plans that have to be worked out, one after the
// other: what the server adds to the engine's own time is little.
func BenchmarkFreshPlan(b *testing.B) {
	s := started(b, nil)
	for _, name := range []string{"square-8x8.yaml", "lean-16x12.yaml", "cycle-shelter-L.yaml"} {
		text := string(exampleText(b, name))
		b.Run(name, func(b *testing.B) {
			i := 0
			for b.Loop() {
				i++
				s.want(200, "POST", "/api/plan", fmt.Sprintf("%s\n# %d\n", text, i))
			}
		})
	}
}

type load struct {
	site *site
	jobs []*loadJob
	lock sync.Mutex
	by   map[string][]time.Duration
	bad  []string
}

type loadJob struct {
	sync.Mutex
	id   string
	head int
	doc  json.RawMessage
}

func (l *load) round() {
	var wg sync.WaitGroup
	begin := time.Now()
	for i := range int(loadRate * loadTime / time.Second) {
		due := begin.Add(time.Duration(i) * time.Second / loadRate)
		time.Sleep(time.Until(due))
		wg.Go(func() {
			kind := mix[i%len(mix)]
			err := l.call(kind, l.jobs[(i+i/len(mix))%len(l.jobs)], i)
			took := time.Since(due)
			l.lock.Lock()
			defer l.lock.Unlock()
			l.by[kind] = append(l.by[kind], took)
			if err != nil {
				l.bad = append(l.bad, kind+": "+err.Error())
			}
		})
	}
	wg.Wait()
}

func (l *load) call(kind string, j *loadJob, i int) error {
	at := "/api/jobs/" + j.id
	switch kind {
	case "list":
		return l.send("GET", "/api/jobs", "", nil)
	case "job":
		return l.send("GET", at, "", nil)
	case "save":
		return l.save(j, i)
	case "tick":
		return l.send("POST", at+"/build", fmt.Sprintf(`{"ticks":[{"id":"tick-%08d","step":"step %d","done":true,"version":1,"at":"2026-06-01T09:30:00Z"}]}`, time.Now().UnixNano(), i%40), nil)
	case "plan":
		return l.send("GET", demo+"/plan", "", nil)
	case "page":
		return l.send("GET", "/", "", nil)
	}
	return l.send("GET", at+"/"+kind, "", nil)
}

func (l *load) save(j *loadJob, i int) error {
	j.Lock()
	defer j.Unlock()
	doc := strings.Replace(string(j.doc), "{", fmt.Sprintf(`{"number":"L-%d",`, i), 1)
	var out struct{ Job store.Job }
	err := l.send("PUT", "/api/jobs/"+j.id, fmt.Sprintf(`{"expected":%d,"doc":%s}`, j.head, doc), &out)
	if err == nil {
		j.head = out.Job.Head
	}
	return err
}

func (l *load) send(method, path, body string, into any) error {
	r, err := http.NewRequest(method, l.site.url+path, strings.NewReader(body))
	if err != nil {
		return err
	}
	r.Header.Set("Accept-Encoding", "gzip") // as a browser does
	res, err := l.site.http.Do(r)
	if err != nil {
		return err
	}
	defer res.Body.Close()
	got, err := io.ReadAll(res.Body)
	if err != nil {
		return err
	}
	if res.StatusCode != http.StatusOK {
		return fmt.Errorf("%s: %.200s", res.Status, got)
	}
	if into != nil {
		return json.Unmarshal(got, into)
	}
	return nil
}

func (l *load) report(b *testing.B) {
	if len(l.bad) > 0 {
		b.Fatalf("%d calls failed, the first: %s", len(l.bad), l.bad[0])
	}
	var all []time.Duration
	for _, kind := range slices.Sorted(maps.Keys(l.by)) {
		all = append(all, l.by[kind]...)
		b.Logf("%-9s %5d calls  median %6.2f ms  95 %% %6.2f ms  slowest %6.2f ms", kind, len(l.by[kind]), at(l.by[kind], 0.5), at(l.by[kind], 0.95), at(l.by[kind], 1))
	}
	b.ReportMetric(at(all, 0.5), "ms/median")
	b.ReportMetric(at(all, 0.95), "ms/p95")
	b.ReportMetric(at(all, 0.99), "ms/p99")
	b.ReportMetric(at(all, 1), "ms/slowest")
	b.ReportMetric(0, "ns/op")
}

// at is the time that this part of the calls stayed under, in ms.
func at(ds []time.Duration, part float64) float64 {
	ds = slices.Sorted(slices.Values(ds))
	i := int(part*float64(len(ds))+0.999999) - 1
	return float64(ds[max(i, 0)]) / float64(time.Millisecond)
}
