package main

import (
	"context"
	"fmt"

	"seamwright/store"
)

type backupCmd struct {
	File      string `arg:"" help:"Where to write the copy."`
	Data      string `placeholder:"DIR" help:"Folder the jobs are kept in, as for serve."`
	Overwrite bool   `help:"Replace the file if there is one."`
}

// Run may be called while the server runs.
func (c backupCmd) Run(s streams) error {
	dir, err := dataFolder(c.Data)
	if err != nil {
		return err
	}
	if err := store.Backup(context.Background(), dir, c.File, c.Overwrite); err != nil {
		return err
	}
	fmt.Fprintf(s.err, "wrote %s: all jobs, photos and catalogue files, and the password, without who is logged in\n", c.File)
	return nil
}

type restoreCmd struct {
	File      string `arg:"" help:"A file that backup wrote."`
	Data      string `placeholder:"DIR" help:"Folder the jobs are kept in, as for serve."`
	Overwrite bool   `help:"Replace the jobs that are there; they are kept beside the new ones."`
}

func (c restoreCmd) Run(s streams) error {
	dir, err := dataFolder(c.Data)
	if err != nil {
		return err
	}
	kept, err := store.Restore(context.Background(), dir, c.File, c.Overwrite)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.err, "%s holds what %s held\n", dir, c.File)
	if kept != "" {
		fmt.Fprintf(s.err, "what was there before is in %s\n", kept)
	}
	return nil
}
