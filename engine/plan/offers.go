package plan

import (
	"fmt"
	"slices"

	"seamwright/engine/catalogue"
	"seamwright/engine/job"
	"seamwright/engine/length"
)

// Choice is what a quote offers side by side. What is left empty is as the job
// says; tints left empty are all that the system is sold in.
type Choice struct {
	Systems  []string // names of panel systems
	Tints    []string // names of tints
	Spacings []string // widest purlin spacings beside that of the job, as on the tape
	Most     int      // more options than this are refused; 0 for no limit
}

// Offers runs the job once for each option: every system in every tint that it
// is sold in, and each of them at every spacing. The first is what the job asks
// for, if it is among them. An error says which word was not understood.
func Offers(in Input, c Choice) ([]Plan, error) {
	systems, err := chosenSystems(in, c.Systems)
	if err != nil {
		return nil, err
	}
	spacings, err := chosenSpacings(in.Job.Units, c.Spacings)
	if err != nil {
		return nil, err
	}
	for _, t := range c.Tints {
		if !slices.ContainsFunc(systems, func(s catalogue.System) bool {
			return slices.ContainsFunc(s.Tints, func(k catalogue.Tint) bool { return k.Name == t })
		}) {
			_, err := chosenTints(systems[0], []string{t})
			return nil, err
		}
	}
	var inputs []Input
	for _, s := range systems {
		tints, err := chosenTints(s, c.Tints)
		if err != nil {
			return nil, err
		}
		for _, t := range tints {
			for _, wide := range spacings {
				one := in
				one.Thorough = true // the limits of clip and screw come from the curves
				one.Job.System, one.Job.Tint = s.Name, t
				if wide != nil {
					one.Job.Planes = slices.Clone(in.Job.Planes)
					for i := range one.Job.Planes {
						one.Job.Planes[i].Purlins.Spacing = wide
					}
				}
				inputs = append(inputs, one)
			}
		}
	}
	if len(inputs) == 0 {
		inputs = []Input{in}
	}
	if c.Most > 0 && len(inputs) > c.Most {
		return nil, fmt.Errorf("these are %d options, more than the %d that fit on a quote; name fewer tints, systems or spacings", len(inputs), c.Most)
	}
	slices.SortStableFunc(inputs, func(a, b Input) int { return asked(in.Job, b) - asked(in.Job, a) })
	out := make([]Plan, len(inputs))
	for i := range inputs {
		out[i] = Run(inputs[i])
	}
	return out, nil
}

// asked is 1 for the option that the job itself describes.
func asked(j job.Job, in Input) int {
	if in.Job.System == j.System && in.Job.Tint == j.Tint {
		return 1
	}
	return 0
}

func chosenSystems(in Input, names []string) ([]catalogue.System, error) {
	if len(names) == 0 {
		names = []string{in.Job.System}
	}
	var out []catalogue.System
	var known []string
	for _, s := range in.Systems {
		known = append(known, s.Name)
	}
	for _, n := range names {
		i := slices.Index(known, n)
		if i < 0 {
			return nil, fmt.Errorf("the panel system %q is not in the catalogue; known: %v", n, known)
		}
		out = append(out, in.Systems[i])
	}
	return out, nil
}

// chosenTints are the tints of a system that were asked for, at least one.
func chosenTints(s catalogue.System, names []string) ([]string, error) {
	var known, out []string
	for _, t := range s.Tints {
		known = append(known, t.Name)
	}
	if len(names) == 0 {
		return known, nil
	}
	for _, n := range names {
		if slices.Contains(known, n) {
			out = append(out, n)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("%s is not sold in %v; known: %v", s.Name, names, known)
	}
	return out, nil
}

func chosenSpacings(units string, texts []string) ([]*length.Length, error) {
	out := []*length.Length{nil}
	unit := length.InMillimetres
	if units == "inch" {
		unit = length.InInches
	}
	for _, t := range texts {
		l, err := length.Parse(t, unit)
		if err != nil {
			return nil, fmt.Errorf("purlin spacing: %w", err)
		}
		if l < closest {
			return nil, fmt.Errorf("purlin spacing %q is closer than %.0f mm; write a wider one", t, closest.MM())
		}
		out = append(out, &l)
	}
	return out, nil
}
