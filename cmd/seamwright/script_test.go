package main

import (
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"seamwright": main})
}

// Each script is one sitting of a person at a terminal.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata/script", RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			wd, err := os.Getwd()
			e.Setenv("EXAMPLES", wd+"/../../examples")
			return err
		}})
}
