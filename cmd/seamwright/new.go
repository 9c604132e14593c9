package main

import (
	"fmt"
	"os"

	"seamwright/engine/fileform"
)

type newCmd struct {
	File string `arg:"" optional:"" help:"Where to write it; standard output if left out."`
}

func (c newCmd) Run(s streams) error {
	if c.File == "" {
		_, err := fmt.Fprint(s.out, fileform.Starter())
		return err
	}
	f, err := os.OpenFile(c.File, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if os.IsExist(err) {
		return fmt.Errorf("%s exists and was left as it is\nhint:  choose another name", c.File)
	}
	if err != nil {
		return err
	}
	if _, err = f.WriteString(fileform.Starter()); err == nil {
		err = f.Close()
	}
	if err == nil {
		fmt.Fprintf(s.err, "wrote %s; change what your tape says, then: seamwright plan %s\n", c.File, c.File)
	}
	return err
}

type schemaCmd struct {
	Of string `arg:"" optional:"" enum:"job,catalogue" default:"job" help:"job or catalogue."`
}

func (c schemaCmd) Run(s streams) error {
	b := fileform.JobSchema()
	if c.Of == "catalogue" {
		b = fileform.CatalogueSchema()
	}
	_, err := s.out.Write(append(b, '\n'))
	return err
}
