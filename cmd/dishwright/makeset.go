package main

import (
	"github.com/spf13/cobra"

	"dishwright/cam/job"
	"dishwright/cmd/internal/outset"
	"dishwright/cmd/internal/sheet"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
)

// orderName is the file of a set that says what is done in which order.
const orderName = "order.txt"

// makeSet takes a job all the way, tells of it, and puts its programs into the folder, with
// whatever is added. A program that breaks a bound leaves no file: that it was planned at all is a
// defect of this program.
func makeSet(cmd *cobra.Command, j job.Job, dir string, force bool, a *app, told func(*shop.Result) error, added ...shop.File) (*shop.Result, error) {
	set, err := outset.Open(dir, force)
	if err != nil {
		return nil, err
	}
	defer set.Abandon()
	r, err := a.runJob(cmd.Context(), j)
	if err != nil {
		return nil, err
	}
	if err := brokenError(r); err != nil {
		for _, w := range r.Report.Warnings {
			if w.Kind == shop.WarnIndexError {
				return nil, tell.Hint(err, "nothing was written: "+w.Message.In(j.Ruler), w.Hint.In(j.Ruler))
			}
		}
		return nil, tell.Defect(err)
	}
	r.Added = append(r.Added, added...)
	for _, t := range r.All() {
		if err := set.Write(t.Name, t.Bytes); err != nil {
			return nil, err
		}
	}
	for _, d := range r.Drawings {
		if err := set.Write(d.Name, d.SVG); err != nil {
			return nil, err
		}
	}
	for _, f := range r.Added {
		if err := set.Write(f.Name, f.Data); err != nil {
			return nil, err
		}
	}
	if err := set.Write(orderName, r.OrderText()); err != nil {
		return nil, err
	}
	if err := set.Write(sheetName, sheet.Of(r)); err != nil {
		return nil, err
	}
	r.Report.Sheet, r.Report.OrderFile = sheetName, orderName
	if err := told(r); err != nil {
		return nil, err
	}
	return r, a.commit(set)
}

// commit puts a set in its place, once what the command tells of it was written.
func (a *app) commit(set *outset.Set) error {
	if err := a.out.Lost(); err != nil {
		return err
	}
	if err := set.Commit(); err != nil {
		return err
	}
	for _, n := range set.Notes() {
		a.note("%s", n)
	}
	return nil
}
