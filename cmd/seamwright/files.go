package main

import (
	"fmt"
	"io"
	"os"

	"seamwright/engine/builtin"
	"seamwright/engine/catalogue"
	"seamwright/engine/fileform"
	"seamwright/engine/job"
	"seamwright/engine/plan"
)

// sizeLimit bounds what is read of any input file, a little above what the
// reader accepts, so that a huge file costs neither memory nor time.
const sizeLimit = 1<<20 + 1

// readFile reads at most sizeLimit bytes; the reader refuses what is cut off.
func readFile(name string) ([]byte, error) {
	if name == "-" {
		return io.ReadAll(io.LimitReader(os.Stdin, sizeLimit))
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, fmt.Errorf("%w\nhint:  seamwright new %s writes a starter job", err, name)
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, sizeLimit))
}

// source is where the fields of a job stand in its file.
type source struct {
	file string
	*fileform.Source
}

// load reads the job and the catalogue files over the built-in ones.
func load(file string, catalogues []string, s streams) (plan.Input, source, error) {
	data, err := readFile(file)
	if err != nil {
		return plan.Input{}, source{}, err
	}
	return loadData(file, data, catalogues, s)
}

// loadData is load for a file that has been read already.
func loadData(file string, data []byte, catalogues []string, s streams) (plan.Input, source, error) {
	j, src, problems := fileform.ReadJob(file, data)
	if len(problems) > 0 {
		fmt.Fprintln(s.err, fileform.Text(problems))
	}
	bad := fileform.Refuses(problems)
	systems, shop, err := readCatalogues(j, catalogues, s)
	if err != nil || bad {
		if err == nil {
			err = errSaid
		}
		return plan.Input{}, source{}, err
	}
	return plan.Input{Job: j, Systems: systems, Shop: shop}, source{file, src}, nil
}

// readCatalogues puts the user's systems and shop in front of the built-in ones.
func readCatalogues(j job.Job, files []string, s streams) ([]catalogue.System, catalogue.Shop, error) {
	set, err := builtin.Load()
	if err != nil {
		return nil, catalogue.Shop{}, err
	}
	systems, shop := set.Systems, set.Shop(j.Units)
	for _, name := range files {
		data, err := readFile(name)
		if err != nil {
			return nil, shop, err
		}
		f, _, problems := fileform.ReadCatalogue(name, data)
		if len(problems) > 0 {
			fmt.Fprintln(s.err, fileform.Text(problems))
		}
		if fileform.Refuses(problems) {
			return nil, shop, errSaid
		}
		systems = catalogue.Override(systems, f.Systems)
		if f.Shop != nil {
			shop = *f.Shop
		}
	}
	return systems, shop, nil
}
