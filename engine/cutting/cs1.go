package cutting

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
)

// Instance is a cutting problem read from the exchange format "cs1", with what
// is known about it.
type Instance struct {
	Name    string
	Family  string
	Licence string
	Problem Problem
	// Optimum is the known optimum, nil if none is; Low and High are known
	// bounds where it is not.
	Optimum   *int64
	Low, High *int64
}

type cs1File struct {
	Format        string      `json:"format"`
	Name          string      `json:"name"`
	Family        string      `json:"family"`
	Source        string      `json:"source"`
	Licence       string      `json:"licence"`
	Objective     string      `json:"objective"`
	Stocks        []cs1Stock  `json:"stocks"`
	Kerf          int64       `json:"kerf"`
	TrimStart     int64       `json:"trim_start"`
	TrimEnd       int64       `json:"trim_end"`
	Remnant       *cs1Remnant `json:"remnant"`
	Items         []cs1Item   `json:"items"`
	NItems        int64       `json:"n_items"`
	NTypes        int64       `json:"n_types"`
	KnownOptimum  *int64      `json:"known_optimum"`
	KnownBounds   []int64     `json:"known_bounds"`
	OptimumSource string      `json:"optimum_source"`
	MaterialBound *float64    `json:"material_bound"`
}

type cs1Stock struct {
	Length int64  `json:"length"`
	Cost   int64  `json:"cost"`
	Limit  *int64 `json:"limit"`
}

type cs1Remnant struct {
	MinLength    int64 `json:"min_length"`
	ValuePer1000 int64 `json:"value_per_1000"`
}

type cs1Item struct {
	Length int64 `json:"length"`
	Demand int64 `json:"demand"`
}

// ReadCS1 reads one instance of format "cs1": a JSON object whose numbers are
// integers in one length unit and one coin. Unknown fields, fractions and
// demands beyond MaxPieces in total are errors; a stock with limit 1 is taken as
// a rack piece.
func ReadCS1(data []byte) (*Instance, error) {
	var f cs1File
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&f); err != nil {
		return nil, cs1Error(data, dec, err)
	}
	if _, err := dec.Token(); err != io.EOF {
		return nil, fmt.Errorf("cs1: more text after the instance at byte %d; write one instance a file, or one a line", dec.InputOffset())
	}
	if f.Format != "cs1" {
		return nil, fmt.Errorf("cs1: format is %q; this reads \"cs1\"", f.Format)
	}
	if len(f.Items) == 0 {
		return nil, fmt.Errorf("cs1: no items; give at least one {\"length\": ..., \"demand\": ...}")
	}
	return f.instance()
}

func cs1Error(data []byte, dec *json.Decoder, err error) error {
	at := dec.InputOffset()
	switch e := err.(type) {
	case *json.SyntaxError:
		at = e.Offset
	case *json.UnmarshalTypeError:
		at = e.Offset
		line := 1 + bytes.Count(data[:min(at, int64(len(data)))], []byte("\n"))
		return fmt.Errorf("cs1: line %d: %s is %s; an integer below 2^63 or the documented type is accepted", line, e.Field, e.Value)
	}
	line := 1 + bytes.Count(data[:min(at, int64(len(data)))], []byte("\n"))
	return fmt.Errorf("cs1: line %d: %s", line, strings.TrimPrefix(err.Error(), "json: "))
}

func (f *cs1File) instance() (*Instance, error) {
	in := &Instance{Name: f.Name, Family: f.Family, Licence: f.Licence, Optimum: f.KnownOptimum}
	if len(f.KnownBounds) == 2 {
		in.Low, in.High = &f.KnownBounds[0], &f.KnownBounds[1]
	}
	p := &in.Problem
	p.Kerf, p.TrimStart, p.TrimEnd = f.Kerf, f.TrimStart, f.TrimEnd
	if f.Remnant != nil {
		p.KeepMin, p.KeepValue, p.KeepPer = f.Remnant.MinLength, f.Remnant.ValuePer1000, 1000
	}
	for i, s := range f.Stocks {
		st := Stock{Length: s.Length, Price: s.Cost, Supply: Unlimited}
		if s.Limit != nil {
			if *s.Limit < 0 || *s.Limit > MaxPieces {
				return nil, fmt.Errorf("cs1: stocks[%d]: limit %d is outside 0 to %d; use null for no limit", i, *s.Limit, MaxPieces)
			}
			st.Supply = int(*s.Limit)
			st.Rack = st.Supply == 1
		}
		p.Stocks = append(p.Stocks, st)
	}
	total := int64(0)
	for i, it := range f.Items {
		if it.Demand < 0 || it.Demand > MaxPieces-total {
			return nil, fmt.Errorf("cs1: items[%d]: demand %d; at least 0 and at most %d pieces in all are accepted", i, it.Demand, MaxPieces)
		}
		total += it.Demand
		for range it.Demand {
			p.Pieces = append(p.Pieces, Piece{Length: it.Length})
		}
	}
	return in, nil
}

// Report is a result in the exchange format.
type Report struct {
	Objective  int64           `json:"objective"`
	LowerBound int64           `json:"lower_bound"`
	Proven     bool            `json:"proven"`
	Seconds    *float64        `json:"seconds,omitempty"`
	Patterns   []ReportPattern `json:"patterns"`
	Unserved   int             `json:"unserved,omitempty"`
}

// ReportPattern is one pattern of a Report.
type ReportPattern struct {
	StockLength int64   `json:"stock_length"`
	StockCost   int64   `json:"stock_cost"`
	Count       int64   `json:"count"`
	Lengths     []int64 `json:"lengths"` // every piece, longest first
}

// NewReport puts a result into the exchange format; seconds may be nil.
func NewReport(p *Problem, r *Result, seconds *float64) Report {
	rep := Report{Objective: r.Cost, LowerBound: r.Bound, Proven: r.Proven, Seconds: seconds, Patterns: []ReportPattern{},
		Unserved: len(r.Unserved) + len(r.UnservedRips)}
	for _, pt := range r.Patterns {
		s := p.Stocks[pt.Stock]
		q := ReportPattern{StockLength: s.Length, StockCost: s.Price, Count: pt.Count}
		for i, l := range pt.Lengths {
			for range pt.Counts[i] {
				q.Lengths = append(q.Lengths, l)
			}
		}
		rep.Patterns = append(rep.Patterns, q)
	}
	return rep
}
