//go:build js && wasm

// Command paper is the maker of papers for a page, beside the engine:
//
//	seamwrightPapers("papers", job, version) → JSON text
package main

import (
	"fmt"
	"syscall/js"

	"seamwright/cmd/seamwright-wasm/calls"
	"seamwright/cmd/seamwright-wasm/papercalls"
)

func main() {
	js.Global().Set("seamwrightPapers", js.FuncOf(call))
	select {}
}

func call(_ js.Value, args []js.Value) (result any) {
	defer func() {
		if r := recover(); r != nil {
			result = calls.Failed(fmt.Sprint("the papers failed: ", r))
		}
	}()
	texts := make([]string, len(args))
	for i, a := range args {
		texts[i] = a.String()
	}
	return papercalls.Run(texts)
}
