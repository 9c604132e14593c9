package httpapi

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
	"time"

	"seamwright/engine/builtin"
	"seamwright/engine/catalogue"
	"seamwright/engine/fileform"
	"seamwright/engine/job"
	"seamwright/engine/plan"
	"seamwright/store"
)

// engine plans jobs with the built-in systems and the firm's own files. One
// processor stays free for everything else.
type engine struct {
	store   *store.Store
	builtin func() (builtin.Set, error)
	slots   chan struct{}
	made    *recent

	lock    sync.Mutex
	flights map[key]*flight
}

// flight is a plan being made; all who ask for it meanwhile wait for the one.
type flight struct {
	done chan struct{}
	made *made
	err  error
}

func newEngine(s *store.Store) *engine {
	return &engine{store: s, builtin: sync.OnceValues(builtin.Load), slots: make(chan struct{}, max(1, runtime.GOMAXPROCS(0)-1)), made: newRecent(), flights: map[key]*flight{}}
}

// How long a job waits for its turn, and how long whoever asked waits in all.
const (
	turnTime = 30 * time.Second
	planTime = 60 * time.Second
)

// run plans the text of a job file. What the file has wrong comes back as a
// refusal with its problems; notes come back beside the plan. The same text
// with the same catalogue gives the same plan, so the last few are kept: a
// person looks at the plan, then at one paper after the other.
func (e *engine) run(ctx context.Context, file string, text []byte, own []string) (*made, error) {
	files, err := e.own(ctx, own)
	if err != nil {
		return nil, err
	}
	k := keyOf(file, text, files)
	if m := e.made.get(k); m != nil {
		return m, nil
	}
	j, _, problems := fileform.ReadJob(file, text)
	if fileform.Refuses(problems) {
		return nil, &store.Error{Code: store.BadInput, Message: "the job cannot be planned as it is written", Hint: "mend what the problems name", Problems: problems}
	}
	systems, shop, err := e.catalogue(j, files)
	if err != nil {
		return nil, err
	}
	f := e.flight(k, plan.Input{Job: j, Systems: systems, Shop: shop}, problems)
	select {
	case <-f.done:
		return f.made, f.err
	case <-time.After(planTime):
		return nil, refusing("busy", "ask again in a moment, or plan it with the command line, which waits", "the job has not been planned in %d seconds", planTime/time.Second)
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// flight joins the making of a plan, or begins it. It goes on when whoever
// asked has gone: its turn is given free only when it is done, so that jobs
// that take long cannot pile up.
func (e *engine) flight(k key, in plan.Input, notes []fileform.Problem) *flight {
	e.lock.Lock()
	defer e.lock.Unlock()
	if f := e.flights[k]; f != nil {
		return f
	}
	f := &flight{done: make(chan struct{})}
	e.flights[k] = f
	go func() {
		f.made, f.err = e.inTurn(in, notes)
		if f.err == nil {
			e.made.put(k, f.made)
		}
		e.lock.Lock()
		delete(e.flights, k)
		e.lock.Unlock()
		close(f.done)
	}()
	return f
}

func (e *engine) inTurn(in plan.Input, notes []fileform.Problem) (m *made, err error) {
	select {
	case e.slots <- struct{}{}:
	case <-time.After(turnTime):
		return nil, refusing("busy", "ask again in a moment", "too many jobs are being planned")
	}
	defer func() {
		<-e.slots
		if r := recover(); r != nil {
			err = fmt.Errorf("the engine failed: %v\n%s", r, debug.Stack())
		}
	}()
	m = &made{plan: plan.Run(in)}
	if m.json, err = encode(planned{&m.plan, notes}); err == nil {
		m.packed = pack(m.json)
	}
	return m, err
}

// catalogue puts the firm's own files over the built-in ones, in their order.
func (e *engine) catalogue(j job.Job, files []store.CatalogueFile) ([]catalogue.System, catalogue.Shop, error) {
	set, err := e.builtin()
	if err != nil {
		return nil, catalogue.Shop{}, err
	}
	systems, shop := set.Systems, set.Shop(j.Units)
	for _, x := range files {
		f, _, problems := fileform.ReadCatalogue(x.Name, []byte(x.Text))
		if fileform.Refuses(problems) { // it was in order when it was stored, so the format has moved on
			return nil, shop, &store.Error{Code: store.BadInput, Message: "the catalogue file " + x.Name + " cannot be used", Hint: "mend it, or take it out of use", Problems: problems}
		}
		systems = catalogue.Override(systems, f.Systems)
		if f.Shop != nil {
			shop = *f.Shop
		}
	}
	return systems, shop, nil
}

// own reads the firm's files of these names; nil names all of them, in the
// order of their names.
func (e *engine) own(ctx context.Context, names []string) ([]store.CatalogueFile, error) {
	if names == nil {
		return e.store.Catalogues(ctx)
	}
	var out []store.CatalogueFile
	for _, n := range names {
		if n == "" {
			continue
		}
		f, err := e.store.Catalogue(ctx, n)
		if err != nil {
			return nil, err
		}
		out = append(out, f)
	}
	return out, nil
}
