package main

import (
	"errors"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"dishwright/cam/job"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure/strict"
)

// noShop is what --shop says where no shop file is to count.
const noShop = "none"

// shopped gives a command the flag that names the shop file.
func (a *app) shopped(cmd *cobra.Command) *cobra.Command {
	cmd.Flags().StringVar(&a.shop, "shop", "", "the shop `FILE`, or none; else shop.yaml beside the job, or above it")
	return cmd
}

// shopFile reads the shop file that lies under a job: the one that the call names, or the
// nearest of the job's folder and those above it; nil where there is none. The job has no
// file where its name is empty: then none is looked for.
func (a *app) shopFile(jobFile string) (*job.Shop, error) {
	file := a.shop
	switch {
	case file == noShop:
		return nil, nil
	case file == "" && jobFile == "":
		return nil, nil
	case file == "":
		if file = nearestShop(jobFile); file == "" {
			return nil, nil
		}
	}
	if jobFile != "" && sameFile(file, jobFile) {
		return nil, tell.Errorf("name a job; the shop file beside it, or in a folder above it, is read with it", "%s is the shop file, and cannot be the job under which it lies", jobFile)
	}
	data, err := strict.ReadFile(file)
	var f strict.Fault
	if errors.As(err, &f) && a.shop == "" {
		f.Hint += "; or leave it out: --shop none"
		err = f
	}
	if err != nil {
		return nil, err
	}
	return &job.Shop{File: file, Data: data}, nil
}

// nearestShop returns the nearest shop file of a file's folder and those above it, as seen
// from the working folder where the file's name is; empty where there is none. One that
// cannot be read counts: that is for its reader to say.
func nearestShop(file string) string {
	dir, err := filepath.Abs(filepath.Dir(file))
	if err != nil {
		return ""
	}
	for {
		found := filepath.Join(dir, job.ShopName)
		if _, err := os.Lstat(found); err == nil {
			return seenFrom(file, found)
		}
		above := filepath.Dir(dir)
		if above == dir {
			return ""
		}
		dir = above
	}
}

// seenFrom writes a path as the file's name is written: from the working folder, or whole.
func seenFrom(file, path string) string {
	if filepath.IsAbs(file) {
		return path
	}
	here, err := os.Getwd()
	if err != nil {
		return path
	}
	rel, err := filepath.Rel(here, path)
	if err != nil {
		return path
	}
	return rel
}

// sameFile reports whether two names lead to one file.
func sameFile(a, b string) bool {
	x, errA := os.Stat(a)
	y, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(x, y)
}
