package main

import (
	"os"
	"path/filepath"
	"strings"

	"dishwright/cam/job"
	"dishwright/cmd/internal/sides"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/samples"
)

// loadJob reads the job that a command names. Of a rim it is the cutting of its
// mould's edge, where the job asks for that.
func loadJob(name string) (job.Job, error) {
	file, data, err := jobBytes(name)
	if err != nil {
		return job.Job{}, err
	}
	if job.FormOf(data) != "rim" {
		return job.Load(file, data)
	}
	r, err := job.LoadRim(file, data)
	if err != nil {
		return job.Job{}, err
	}
	return sides.Mould(r, beside(file))
}

// jobBytes returns the file that a command names, or, where there is no such
// file, the sample of that name.
func jobBytes(name string) (file string, data []byte, err error) {
	if data, ok := samples.Get(name); ok {
		if info, err := os.Stat(name); err != nil || info.IsDir() {
			return name + ".yaml", data, nil
		}
	}
	data, err = strict.ReadFile(name)
	if err != nil {
		if _, missing := os.Stat(name); os.IsNotExist(missing) && !strings.ContainsAny(name, `/\.`) {
			return "", nil, tell.Errorf(strict.Suggest(name, samples.Names(), "the samples are"),
				"%s is neither a job file nor a sample", measure.Quote(name))
		}
		return "", nil, err
	}
	return name, data, nil
}

// beside opens the files that a job names: relative to the job's own folder.
func beside(file string) sides.Opener {
	return func(name string) ([]byte, error) {
		if !filepath.IsAbs(name) {
			name = filepath.Join(filepath.Dir(file), name)
		}
		return strict.ReadFile(name)
	}
}
