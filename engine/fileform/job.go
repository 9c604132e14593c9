package fileform

import "seamwright/engine/job"

func CheckJob(j *job.Job, src *Source) []Problem { return nil }
