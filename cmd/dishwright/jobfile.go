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

	"github.com/spf13/cobra"
)

// loadJob reads the job that a command names. Of a rim it is the cutting of its
// mould's edge, where the job asks for that.
func (a *app) loadJob(name string) (job.Job, error) {
	f, err := a.jobFile(name)
	if err != nil {
		return job.Job{}, err
	}
	if f.form != "rim" {
		return job.Load(f.name, f.data, f.changes...)
	}
	r, err := job.LoadRim(f.name, f.data, f.changes...)
	if err != nil {
		return job.Job{}, err
	}
	return sides.Mould(r, beside(f.name))
}

// loadRim reads the job of a rim that a command names.
func (a *app) loadRim(name string) (job.Rim, error) {
	f, err := a.jobFile(name)
	if err != nil {
		return job.Rim{}, err
	}
	if f.form == "" {
		_, err := job.Load(f.name, f.data, f.changes...)
		return job.Rim{}, err
	}
	if f.form != "rim" {
		return job.Rim{}, tell.Errorf("dishwright check or make takes a job of the form "+f.form, "%s is of the form %s, not rim", name, f.form)
	}
	return job.LoadRim(f.name, f.data, f.changes...)
}

// jobFile is the job that a command names, with the changes that the call makes.
type jobFile struct {
	name    string
	data    []byte
	changes []strict.Change
	form    string // empty where it cannot be read
}

func (a *app) jobFile(name string) (f jobFile, err error) {
	for _, s := range a.sets {
		c, err := strict.ParseChange(s, "--set "+tell.Plain(s, mostSetShown))
		if err != nil {
			return f, tell.Wrap("--set", err)
		}
		f.changes = append(f.changes, c)
	}
	if f.name, f.data, err = jobBytes(name); err == nil {
		f.form = job.FormOf(f.data, f.changes...)
	}
	return f, err
}

// mostSetShown is the most of a change that is shown in front of a fault.
const mostSetShown = 60

// settable gives a command the flag that changes a job's keys for one run.
func (a *app) settable(cmd *cobra.Command) *cobra.Command {
	// Not an array of words parted by commas: a value may hold them.
	cmd.Flags().StringArrayVar(&a.sets, "set", nil, "give a key another value for this run, as `KEY=VALUE`; once for each")
	return cmd
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
