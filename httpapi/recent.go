package httpapi

import (
	"container/list"
	"crypto/sha256"
	"fmt"
	"net/http"
	"sync"

	"seamwright/engine/plan"
	"seamwright/store"
)

// made is a plan and the answer that holds it, plain and packed. All are only
// read.
type made struct {
	plan   plan.Plan
	json   []byte
	packed []byte // gzip
}

// send answers with the plan, packed for whoever can unpack it: a plan has
// hundreds of kilobytes, and a site has a weak network.
func (m *made) send(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Vary", "Accept-Encoding")
	if acceptsGzip(r.Header.Get("Accept-Encoding")) {
		w.Header().Set("Content-Encoding", "gzip")
		sendJSON(w, http.StatusOK, m.packed)
		return
	}
	sendJSON(w, http.StatusOK, m.json)
}

// Bounds of the plans kept.
const (
	keptPlans = 32
	keptBytes = 64 << 20 // of answers
)

// recent keeps the plans made last.
type recent struct {
	sync.Mutex
	order *list.List // the last used in front
	at    map[key]*list.Element
	bytes int
}

type key [sha256.Size]byte

type entry struct {
	key  key
	made *made
}

func newRecent() *recent { return &recent{order: list.New(), at: map[key]*list.Element{}} }

// keyOf names everything a plan depends on.
func keyOf(file string, text []byte, own []store.CatalogueFile) key {
	h := sha256.New()
	fmt.Fprintf(h, "%q %d ", file, len(text))
	h.Write(text)
	for _, f := range own {
		fmt.Fprintf(h, " %q %d", f.Name, f.N)
	}
	return key(h.Sum(nil))
}

func (r *recent) get(k key) *made {
	r.Lock()
	defer r.Unlock()
	e := r.at[k]
	if e == nil {
		return nil
	}
	r.order.MoveToFront(e)
	return e.Value.(entry).made
}

func (r *recent) put(k key, m *made) {
	r.Lock()
	defer r.Unlock()
	if r.at[k] != nil || len(m.json) > keptBytes/4 {
		return
	}
	r.at[k] = r.order.PushFront(entry{k, m})
	r.bytes += len(m.json)
	for r.order.Len() > keptPlans || r.bytes > keptBytes {
		last := r.order.Remove(r.order.Back()).(entry)
		delete(r.at, last.key)
		r.bytes -= len(last.made.json)
	}
}
