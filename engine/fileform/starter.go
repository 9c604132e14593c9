package fileform

import _ "embed"

//go:embed starter.yaml
var starter string

// Starter returns a commented YAML job that can be planned as it stands and
// says what each line means.
func Starter() string { return starter }
