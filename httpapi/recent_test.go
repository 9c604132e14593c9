package httpapi

import (
	"fmt"
	"testing"

	"seamwright/store"
)

// A plan kept must not be given for another text, name or catalogue, and the
// plans kept must not fill the memory.
func TestRecentPlans(t *testing.T) {
	file := func(n int) []store.CatalogueFile { return []store.CatalogueFile{{Name: "own.yaml", N: n}} }
	keys := map[key]string{}
	for name, k := range map[string]key{
		"plain": keyOf("a", []byte("text"), nil), "text": keyOf("a", []byte("texts"), nil), "file": keyOf("b", []byte("text"), nil),
		"catalogue": keyOf("a", []byte("text"), file(1)), "newer catalogue": keyOf("a", []byte("text"), file(2)), "shifted": keyOf("a", []byte(`text "own.yaml" 1`), nil),
	} {
		if other, ok := keys[k]; ok {
			t.Errorf("%s and %s are one", name, other)
		}
		keys[k] = name
	}
	r := newRecent()
	k := func(i int) key { return keyOf(fmt.Sprint(i), nil, nil) }
	for i := range keptPlans + 1 {
		r.put(k(i), &made{json: make([]byte, 10)})
		r.get(k(0)) // used again and again, so it stays
	}
	if r.get(k(0)) == nil || r.get(k(1)) != nil || r.get(k(keptPlans)) == nil || len(r.at) != keptPlans || r.bytes != 10*keptPlans {
		t.Errorf("%d kept, %d bytes", len(r.at), r.bytes)
	}
	r.put(k(-1), &made{json: make([]byte, keptBytes)})
	if r.get(k(-1)) != nil {
		t.Error("a huge plan was kept")
	}
	for i := range 8 {
		r.put(k(100+i), &made{json: make([]byte, keptBytes/4)})
	}
	if r.bytes > keptBytes || len(r.at) > 5 {
		t.Errorf("%d kept, %d bytes", len(r.at), r.bytes)
	}
}
