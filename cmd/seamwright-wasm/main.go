//go:build js && wasm

// Command seamwright-wasm is the engine for a page or for node: text in, JSON
// out, through one global function.
//
//	seamwright(call, argument…) → JSON text
//
// The calls and their arguments are the map in calls.go.
package main

import (
	"fmt"
	"syscall/js"

	"seamwright/cmd/seamwright-wasm/calls"
)

func main() {
	js.Global().Set("seamwright", js.FuncOf(call))
	select {} // stay, so that the function can be called
}

// call never panics out of Go: that would end the worker.
func call(_ js.Value, args []js.Value) (result any) {
	defer func() {
		if r := recover(); r != nil {
			result = calls.Failed(fmt.Sprint("the engine failed: ", r))
		}
	}()
	texts := make([]string, len(args))
	for i, a := range args {
		texts[i] = a.String()
	}
	return calls.Run(texts)
}
