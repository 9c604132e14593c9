// Package web carries the built app inside the program. The folder dist is
// written by the front-end build; the program builds and runs without it.
package web

import (
	"embed"
	"io/fs"
)

//go:embed all:dist
var files embed.FS

// Dist is the built app: index.html and what it loads. It may be empty.
func Dist() fs.FS {
	dist, err := fs.Sub(files, "dist")
	if err != nil {
		panic("web: the embedded folder is missing: " + err.Error())
	}
	return dist
}
