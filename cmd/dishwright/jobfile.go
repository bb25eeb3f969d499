package main

import (
	"os"
	"path/filepath"
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/job/key"
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
	s, err := a.jobSource(name)
	if err != nil {
		return job.Job{}, err
	}
	var j job.Job
	if s.Form() != key.Rim {
		j, err = s.Load()
	} else {
		var r job.Rim
		if r, err = s.LoadRim(); err == nil {
			j, err = sides.Mould(r, beside(s.File))
		}
	}
	j.Ruler = a.ruler(j.Ruler)
	if j.Mate != nil {
		j.Mate.Ruler = j.Ruler
	}
	return j, err
}

// loadRim reads the job of a rim that a command names.
func (a *app) loadRim(name string) (job.Rim, error) {
	s, err := a.jobSource(name)
	if err != nil {
		return job.Rim{}, err
	}
	switch form := s.Form(); form {
	case key.Rim:
		r, err := s.LoadRim()
		r.Ruler = a.ruler(r.Ruler)
		return r, err
	case "":
		_, err := s.Load()
		return job.Rim{}, err
	default:
		return job.Rim{}, tell.Errorf("dishwright check or make takes a job of the form "+form, "%s is of the form %s, not rim", name, form)
	}
}

// uncut works out the rim that a command names where it is sanded alone; nil of a job that is
// cut, a mould's edge too.
func (a *app) uncut(name string) (*sides.Result, error) {
	s, err := a.jobSource(name)
	if err != nil || s.Form() != key.Rim {
		return nil, err
	}
	j, err := a.loadRim(name)
	if err != nil || j.Mould != nil {
		return nil, err
	}
	return sides.Run(j, beside(j.File))
}

// jobSource opens the job that a command names, with its shop file and the changes that
// the call makes.
func (a *app) jobSource(name string) (s job.Source, err error) {
	for _, set := range a.sets {
		c, err := strict.ParseChange(set, "--set "+tell.Plain(set, mostSetShown))
		if err != nil {
			return s, tell.Wrap("--set", err)
		}
		s.Changes = append(s.Changes, c)
	}
	file, data, sample, err := jobBytes(name)
	if err != nil {
		return s, err
	}
	s.File, s.Data = file, data
	where := file
	if sample {
		where = ""
	}
	s.Shop, err = a.shopFile(where)
	return s, err
}

// mostSetShown is the most of a change that is shown in front of a fault.
const mostSetShown = 60

// settable gives a command the flags of a job: what changes its keys for one run, and the
// shop file that lies under it; and what its report is told in.
func (a *app) settable(cmd *cobra.Command) *cobra.Command {
	// Not an array of words parted by commas: a value may hold them.
	cmd.Flags().StringArrayVar(&a.sets, "set", nil, "give a key another value for this run, as `KEY=VALUE`; once for each")
	return a.shopped(a.reports(cmd))
}

// jobBytes returns the file that a command names, or, where there is no such
// file, the sample of that name.
func jobBytes(name string) (file string, data []byte, sample bool, err error) {
	if data, ok := samples.Get(name); ok {
		if info, err := os.Stat(name); err != nil || info.IsDir() {
			return name + ".yaml", data, true, nil
		}
	}
	data, err = strict.ReadFile(name)
	if err != nil {
		if _, missing := os.Stat(name); os.IsNotExist(missing) && !strings.ContainsAny(name, `/\.`) {
			return "", nil, false, tell.Errorf(strict.Suggest(name, samples.Names(), "the samples are"),
				"%s is neither a job file nor a sample", measure.Quote(name))
		}
		return "", nil, false, err
	}
	return name, data, false, nil
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
