package main

import (
	"fmt"
	"os"
	"path/filepath"
)

// outFile is one file of a set that is written whole or not at all.
type outFile struct {
	Name  string
	Bytes []byte
}

// writeAll puts the files into dir. All of them are written beside their place
// first; only when every one is on disk are they moved there, and what stood
// there before comes back if a move fails. Other files in dir are left alone.
func writeAll(dir string, files []outFile) (err error) {
	made := false
	if _, e := os.Stat(dir); os.IsNotExist(e) {
		made = true
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("the folder %s cannot be made: %w", dir, err)
	}
	tmp, err := os.MkdirTemp(dir, ".seamwright-")
	if err != nil {
		return fmt.Errorf("nothing can be written into %s: %w", dir, err)
	}
	defer os.RemoveAll(tmp)
	defer func() {
		if err != nil && made {
			os.RemoveAll(tmp)
			os.Remove(dir)
		}
	}()
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(tmp, f.Name), f.Bytes, 0o644); err != nil {
			return fmt.Errorf("%s was left as it was: %w", dir, err)
		}
	}
	return moveAll(dir, tmp, files)
}

func moveAll(dir, tmp string, files []outFile) error {
	var done []string
	for _, f := range files {
		to, old := filepath.Join(dir, f.Name), filepath.Join(tmp, f.Name+".old")
		err := os.Rename(to, old)
		if err == nil || os.IsNotExist(err) {
			err = os.Rename(filepath.Join(tmp, f.Name), to)
		}
		if err != nil {
			for _, name := range append(done, f.Name) {
				if e := os.Rename(filepath.Join(tmp, name+".old"), filepath.Join(dir, name)); os.IsNotExist(e) && name != f.Name {
					os.Remove(filepath.Join(dir, name))
				}
			}
			return fmt.Errorf("%s was left as it was: %w", dir, err)
		}
		done = append(done, f.Name)
	}
	return nil
}
