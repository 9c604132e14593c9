package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"time"
)

// Tick is one thing noted while building: a step done or taken back, with
// what was read. Ticks are added and never changed, so two phones on one roof
// lose nothing.
type Tick struct {
	ID       string          `json:"id"`              // given by the device
	Step     string          `json:"step"`            // of the order of work
	Done     bool            `json:"done"`            // false takes the step back
	Value    json.RawMessage `json:"value,omitempty"` // readings, a note: any JSON
	Version  int             `json:"version"`         // of the job, that was built from
	At       time.Time       `json:"at"`              // on the device's clock
	Received time.Time       `json:"received"`        // on the server's
	Device   string          `json:"device,omitempty"`
}

// Build is how far the building of a job has come.
type Build struct {
	Steps map[string]Tick `json:"steps"` // the last tick of each step, by the device's clock
	Ticks []Tick          `json:"ticks"` // all, in the order they arrived
}

// Bounds of ticks.
const (
	maxTicks     = 500   // at once
	maxJobTicks  = 50000 // of one job
	maxTickValue = 16 << 10
)

// AddTicks stores ticks. Those that are there already are left as they are.
func (s *Store) AddTicks(ctx context.Context, id string, ticks []Tick, device string) (Build, error) {
	if len(ticks) > maxTicks {
		return Build{}, refuse(TooBig, "send them in several parts", "%d ticks at once; at most %d are taken", len(ticks), maxTicks)
	}
	for i := range ticks {
		if err := ticks[i].check(); err != nil {
			return Build{}, err
		}
	}
	var out Build
	err := s.change(ctx, func(tx *sql.Tx) error {
		if _, err := getJob(ctx, tx, id); err != nil {
			return err
		}
		for _, t := range ticks {
			if err := s.addTick(ctx, tx, id, t, device); err != nil {
				return err
			}
		}
		var err error
		if out, err = build(ctx, tx, id); err == nil && len(out.Ticks) > maxJobTicks {
			return refuse(TooBig, "", "the job has %d ticks; at most %d are kept", len(out.Ticks), maxJobTicks)
		}
		return err
	})
	return out, err
}

func (s *Store) addTick(ctx context.Context, tx *sql.Tx, id string, t Tick, device string) error {
	if _, err := getVersion(ctx, tx, id, t.Version); err != nil {
		return refuse(BadInput, "send the version the work was done from", "the job has no version %d", t.Version)
	}
	var value any
	if t.Value != nil {
		value = string(t.Value)
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO ticks (job, id, step, done, value, version, at, received, device) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING`,
		id, t.ID, t.Step, t.Done, value, t.Version, t.At.UnixMilli(), s.stamp(), label(device, 64))
	return err
}

func (t *Tick) check() error {
	if err := checkID("tick", t.ID); err != nil {
		return err
	}
	if t.Step == "" || len(t.Step) > 200 || t.Step != label(t.Step, 200) {
		return refuse(BadInput, "send the step's name from the order of work", "%q is not a step", label(t.Step, 80))
	}
	if y := t.At.Year(); y < 2000 || y > 9999 {
		return refuse(BadInput, "send the device's clock as 2026-06-01T09:30:00Z", "the tick of step %q has no usable time", t.Step)
	}
	if len(t.Value) > maxTickValue {
		return refuse(TooBig, "photos are kept apart", "the value of step %q has %d bytes; at most %d are kept", t.Step, len(t.Value), maxTickValue)
	}
	if t.Value != nil {
		var compact bytes.Buffer
		if json.Compact(&compact, t.Value) != nil || depth(t.Value) > maxDepth {
			return refuse(BadInput, "", "the value of step %q is not JSON", t.Step)
		}
		t.Value = compact.Bytes()
	}
	return nil
}

// Build reads how far the building has come.
func (s *Store) Build(ctx context.Context, id string) (Build, error) {
	if _, err := getJob(ctx, s.read, id); err != nil {
		return Build{}, err
	}
	return build(ctx, s.read, id)
}

func build(ctx context.Context, q querier, id string) (Build, error) {
	ticks, err := collect(ctx, q, scanTick, `SELECT id, step, done, value, version, at, received, device FROM ticks WHERE job = ? ORDER BY rowid`, id)
	out := Build{Steps: map[string]Tick{}, Ticks: ticks}
	for _, t := range ticks {
		if have, ok := out.Steps[t.Step]; !ok || !t.At.Before(have.At) {
			out.Steps[t.Step] = t
		}
	}
	return out, err
}

func scanTick(r row) (Tick, error) {
	var t Tick
	var value sql.NullString
	var at, received int64
	err := r.Scan(&t.ID, &t.Step, &t.Done, &value, &t.Version, &at, &received, &t.Device)
	if value.Valid {
		t.Value = json.RawMessage(value.String)
	}
	t.At, t.Received = timeOf(at), timeOf(received)
	return t, err
}
