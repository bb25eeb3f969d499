package main

import (
	"os"
	"strings"

	"dishwright/cam/job"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/samples"
)

// loadJob reads the job that a command names: a file, or, where there is no
// such file, the sample of that name.
func loadJob(name string) (job.Job, error) {
	if data, ok := samples.Get(name); ok {
		if info, err := os.Stat(name); err != nil || info.IsDir() {
			return job.Load(name+".yaml", data)
		}
	}
	data, err := strict.ReadFile(name)
	if err != nil {
		if _, missing := os.Stat(name); os.IsNotExist(missing) && !strings.ContainsAny(name, `/\.`) {
			return job.Job{}, tell.Errorf(strict.Suggest(name, samples.Names(), "the samples are"),
				"%s is neither a job file nor a sample", measure.Quote(name))
		}
		return job.Job{}, err
	}
	return job.Load(name, data)
}
