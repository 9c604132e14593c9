package papers

import "seamwright/engine/plan"

// speak puts a text that comes with the plan into the language of the job.
func speak(p plan.Plan, s string) string { return s }

func speakAll(p plan.Plan, in []string) []string {
	out := make([]string, len(in))
	for i, s := range in {
		out[i] = speak(p, s)
	}
	return out
}
