package tsgen

import (
	"seamwright/cmd/seamwright-wasm/calls"
	"seamwright/cmd/seamwright-wasm/papercalls"
	"seamwright/cmd/seamwright-wasm/screen"
)

// Bridge is the TypeScript of everything that passes between page and engine.
func Bridge() string {
	return Write(screen.Request{}, screen.View{}, screen.Range{}, screen.Curves{}, screen.Starter{}, calls.Length{}, calls.File{}, papercalls.Papers{}, papercalls.Solid{}, calls.Failure{})
}
