// Package upgrade turns job documents of older formats into the format of
// today, so that a job measured years ago opens. It changes documents only in
// memory: what was stored stays as it was.
package upgrade

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strconv"

	"seamwright/engine/job"
)

// step turns a document of one version into the next.
type step func(doc map[string]any) error

// path holds the step from each version, by the version it starts from. When
// job.Version rises from n to n+1, the step n is added here and an example of
// version n is already kept in testdata/vN; the tests see to it.
var path = map[int]step{}

// Job brings a job document, a JSON object, up to date. It returns the version
// that was read; a document without a version is a draft and comes back
// unchanged with version 0. A document newer than this program is an error.
func Job(doc []byte) (today []byte, from int, err error) {
	return along(path, job.Version, doc)
}

func along(path map[int]step, target int, doc []byte) ([]byte, int, error) {
	var head struct {
		Seamwright json.RawMessage `json:"seamwright"`
	}
	if err := json.Unmarshal(doc, &head); err != nil {
		return nil, 0, fmt.Errorf("the job is not a JSON object: %w", err)
	}
	if head.Seamwright == nil {
		return doc, 0, nil
	}
	from, err := strconv.Atoi(string(head.Seamwright))
	if err != nil || from < 1 {
		return doc, 0, nil // the reader of the job says what is wrong with it
	}
	if from > target {
		return nil, from, fmt.Errorf("the job is written in version %d of the format; this program reads version %d: use a newer program for it", from, target)
	}
	if from == target {
		return doc, from, nil
	}
	tree, err := object(doc)
	if err != nil {
		return nil, from, err
	}
	for v := from; v < target; v++ {
		do, ok := path[v]
		if !ok {
			return nil, from, fmt.Errorf("no way leads from version %d of the job format to version %d", v, v+1)
		}
		if err := do(tree); err != nil {
			return nil, from, fmt.Errorf("the job cannot be taken from version %d of the format to %d: %w", v, v+1, err)
		}
		tree["seamwright"] = json.Number(strconv.Itoa(v + 1))
	}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	if err := e.Encode(tree); err != nil {
		return nil, from, err
	}
	return bytes.TrimSpace(out.Bytes()), from, nil
}

// object reads numbers as they are written: 1000.5 mm must not become another
// number on its way.
func object(doc []byte) (map[string]any, error) {
	d := json.NewDecoder(bytes.NewReader(doc))
	d.UseNumber()
	var tree map[string]any
	if err := d.Decode(&tree); err != nil {
		return nil, err
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, fmt.Errorf("more follows after the job")
	}
	return tree, nil
}
