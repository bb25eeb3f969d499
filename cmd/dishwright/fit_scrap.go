package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"dishwright/cam/job"
	"dishwright/cam/work"
	"dishwright/cmd/internal/readings"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/dish/scrap"
)

// scrapFlags are what a call of fit says of a scrap.
type scrapFlags struct{ table, job, calliper, rule string }

// add gives a command the flags.
func (f *scrapFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.table, "scrap", "", "read a scrap's marks from the table `FILE`: what the machine is off by")
	cmd.Flags().StringVar(&f.job, "job", "", "the `JOB` that a scrap was cut for, or whose machine took dial readings")
	cmd.Flags().StringVar(&f.calliper, "calliper", "", "with --scrap: step of the calliper (0.02 mm or 0.001 in)")
	cmd.Flags().StringVar(&f.rule, "rule", "", "with --scrap: step of the rule (0.5 mm or 1/64 in)")
}

// alone refuses the flags that mean nothing beside --scrap, or without it. Without --job the
// job that lies beside the table counts, of a scrap that was made without one.
func (f *scrapFlags) alone(cmd *cobra.Command) error {
	if f.table == "" {
		for _, name := range []string{"calliper", "rule"} {
			if cmd.Flags().Changed(name) {
				return tell.Errorf("dishwright fit --scrap readings.csv --job JOB", "--%s says something of a scrap, and no table of one is named", name)
			}
		}
		return nil
	}
	for _, name := range []string{"radius", "diameter", "gauge", "crown", "against", "width", "limit", "wood", "plan", "sheet", "force", "full"} {
		if cmd.Flags().Changed(name) {
			return tell.Errorf("leave it out", "--%s means nothing to a scrap", name)
		}
	}
	if own := filepath.Join(filepath.Dir(f.table), scrapJobName); f.job == "" {
		if _, err := os.Stat(own); err == nil {
			f.job = own
			return nil
		}
		return tell.Errorf("dishwright fit --scrap "+f.table+" --job JOB", "--scrap needs the job that the scrap was cut for")
	}
	return nil
}

// steps reads the steps of calliper and rule, in mm.
func (f *scrapFlags) steps(inches bool) (calliper, rule float64, err error) {
	calliper, rule = 0.02, 0.5
	if inches {
		calliper, rule = 0.001*measure.Inch.MM(), measure.Inch.MM()/64
	}
	for _, one := range []struct {
		name, text string
		to         *float64
		most       float64
	}{{"calliper", f.calliper, &calliper, 1}, {"rule", f.rule, &rule, 2}} {
		if one.text == "" {
			continue
		}
		l, err := lengthFlag(one.name, one.text, measure.Range{Least: 0.001, Most: one.most, From: 0.01, To: one.most})
		if err != nil {
			return 0, 0, err
		}
		*one.to = l.MM
	}
	return calliper, rule, nil
}

// fitScrap tells what the marks of a scrap do.
func (a *app) fitScrap(ctx context.Context, f scrapFlags, asJSON bool) error {
	data, err := strict.ReadFile(f.table)
	if err != nil {
		return err
	}
	t, err := readings.ReadScrap(f.table, data)
	if err != nil {
		return err
	}
	calliper, rule, err := f.steps(t.Inches)
	if err != nil {
		return err
	}
	j, err := a.loadJob(f.job)
	if err != nil {
		return err
	}
	cutter, marks, err := scrapOf(j, t)
	if err != nil {
		return err
	}
	u := j.Ruler
	list, err := t.Of(marks, u)
	if err != nil {
		return err
	}
	r := readings.JudgeScrap(marks, list, readings.LeavesOf(work.WoodOf(j.Work.Material).Name, calliper, rule))
	r.Job, r.Scrap, r.Cutter = j.Work.Name, t.ID, cutter
	left, err := a.leftOf(ctx, j, &r)
	if err != nil {
		return err
	}
	r.Certify(left)
	if asJSON {
		err = a.json(r)
	} else {
		writeDocument(a.report(), r.Answer(u))
	}
	if err != nil {
		return err
	}
	return scrapBound(r)
}

// scrapOf finds the cutter of the job's shelf whose scrap the table is of.
func scrapOf(j job.Job, t readings.ScrapTable) (string, *scrap.Layout, error) {
	var none error
	var tried []string
	for _, c := range j.Work.Shelf {
		s, err := j.Scrap(c.Name)
		switch {
		case err != nil:
			none = err
		case s.Mark() == t.ID:
			return c.Name, s.Marks, nil
		default:
			tried = append(tried, s.Mark()+" is that of "+c.Name)
		}
	}
	if len(tried) == 0 && none != nil {
		return "", nil, none
	}
	return "", nil, t.Other("the job, the machine and the thickness that it was cut with: here " + strings.Join(tried, ", "))
}

// leftOf proves the job's programs, as they are planned, with what the scrap shows; nil of a
// job without a face, and where a spindle leans more than the scrap can show. What the scrap's
// cutter lacks of its diameter counts for no other one.
func (a *app) leftOf(ctx context.Context, j job.Job, r *readings.ScrapReport) (*readings.Left, error) {
	switch {
	case !j.Work.HasFace():
		return nil, nil
	case r.Beyond():
		var err error
		r.Finish, err = shop.FinishCutter(j)
		return nil, err
	}
	made, err := a.runJob(ctx, j)
	if err != nil {
		return nil, err
	}
	r.Finish = made.Plan.Finish
	tilt, leans := r.Tilt()
	lacks, worn := r.Lacks()
	worn = worn && !r.Another()
	s := made.Report.Scallop
	left := &readings.Left{AskedMM: s.AskedMM, PlannedMM: s.CertifiedMM, Found: leans || worn}
	if left.Found {
		if !leans {
			tilt = j.Work.Tilt
		}
		if !worn {
			lacks = j.Work.Undersize
		}
		if s, err = made.Really(tilt, lacks); err != nil {
			return nil, err
		}
	}
	left.CertifiedMM, left.TiltMM, left.UndersizeMM = s.CertifiedMM, s.TiltMM, s.UndersizeMM
	left.Within = s.CertifiedMM <= s.AskedMM
	return left, nil
}

// scrapBound is the error of a scrap that shows what may not stay.
func scrapBound(r readings.ScrapReport) error {
	switch {
	case r.Beyond():
		return tell.Bound("the spindle leans more than this scrap can show", "square it with a dial gauge on an arm in the spindle, spun by hand with the power off (common practice), and cut the scrap again")
	case r.Scallop != nil && !r.Scallop.Within:
		return tell.Bound("the scallop is over what was asked for, with what the scrap shows", "square the spindle and name the cutter's true diameter, or put the lines into the shop file: the passes are then laid for them")
	}
	return nil
}
