// Command cmd writes web/src/engine/types.ts: go run ./internal/tsgen/cmd
package main

import (
	"fmt"
	"os"

	"seamwright/internal/tsgen"
)

func main() {
	if err := os.WriteFile("web/src/engine/types.ts", []byte(tsgen.Bridge()), 0o644); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
