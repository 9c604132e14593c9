//go:build js && wasm

// Command seamwright-wasm is the engine for a page or for node: text in, JSON
// out, through one global function.
//
//	seamwright(call, argument…) → JSON text
//
// Calls: "plan" (file name, job text) gives the whole plan, or the problems of
// the job file.
package main

import (
	"encoding/json"
	"fmt"
	"syscall/js"

	"seamwright/engine/builtin"
	"seamwright/engine/fileform"
	"seamwright/engine/plan"
)

func main() {
	js.Global().Set("seamwright", js.FuncOf(call))
	select {} // stay, so that the function can be called
}

// reply is what every call returns.
type reply struct {
	Plan     *plan.Plan         `json:"plan,omitempty"`
	Problems []fileform.Problem `json:"problems,omitempty"`
	Error    string             `json:"error,omitempty"`
}

// call never panics out of Go: that would end the worker.
func call(_ js.Value, args []js.Value) (result any) {
	defer func() {
		if r := recover(); r != nil {
			result = text(reply{Error: fmt.Sprint("the engine failed: ", r)})
		}
	}()
	if len(args) != 3 || args[0].String() != "plan" {
		return text(reply{Error: `accepted: seamwright("plan", fileName, jobText)`})
	}
	return text(planText(args[1].String(), args[2].String()))
}

func planText(name, job string) reply {
	j, _, problems := fileform.ReadJob(name, []byte(job))
	if fileform.Refuses(problems) {
		return reply{Problems: problems}
	}
	set, err := builtin.Load()
	if err != nil {
		return reply{Error: err.Error()}
	}
	p := plan.Run(plan.Input{Job: j, Systems: set.Systems, Shop: set.Shop(j.Units)})
	return reply{Plan: &p, Problems: problems}
}

func text(r reply) string {
	b, err := json.Marshal(r)
	if err != nil {
		return `{"error":"the plan cannot be written: ` + err.Error() + `"}`
	}
	return string(b)
}
