package cutting_test

import (
	"testing"

	"seamwright/engine/cutting"
	"seamwright/engine/cutverify"
)

// verified solves and passes the result through the independent verifier.
func verified(t *testing.T, p *cutting.Problem, opt cutting.Options) *cutting.Result {
	t.Helper()
	r, err := cutting.Solve(p, opt)
	if err != nil {
		t.Fatalf("%v", err)
	}
	if err := cutverify.Check(p, r); err != nil {
		t.Fatalf("verifier: %v (%s)", err, r.Words())
	}
	return r
}
