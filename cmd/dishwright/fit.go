package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/readings"
	"dishwright/cmd/internal/sheet"
	"dishwright/cmd/internal/tell"
	"dishwright/dish"
	"dishwright/dish/fit"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// fitFlags are what the call of fit says.
type fitFlags struct {
	radius, diameter, gauge    string
	sheet                      string
	against, width, limit      string
	wood                       bool
	crown, plan, asJSON, force bool
	full                       bool
	scrap                      scrapFlags
}

func newFitCmd(a *app) *cobra.Command {
	var f fitFlags
	cmd := &cobra.Command{
		Use:   "fit READINGS {--radius R | --against JOB | --job JOB}",
		Short: "Find the radius really cut, from measurements",
		Long: `Fit a sphere to readings of a finished dish, board, rim or plate, and tell its
radius with the interval that holds the true one in 95 of 100 cases, the apex, what
each reading is off by, which one is wrong, whether the face is round, and where to
measure again. READINGS is a CSV file with the columns x_mm,y_mm,z_mm (places) or
x_mm,depth_mm (depths under a straightedge laid across the apex), or a YAML file,
whose keys dishwright manual fit shows.

With --against JOB it says first whether what was read may be used for that dish, caul,
board or rim: what rim and plate would see of its error, against the gap that may stay.

With --scrap FILE --job JOB the marks of a scrap cut are read instead: they tell the
spindle's tilt, the cutter's diameter, backlash and the scale of Z.

The table of dishwright readings, filled in, takes --job JOB: of a face that its own
machine read it tells what cutting and time added, and no radius.

With --plan nothing is read: it says where to measure so as to know the radius
within 1 %, and what 1 % and 5 % mean at the rim.`,
		Example: `  dishwright fit readings.csv --radius "25 ft" --gauge "0.01 mm"
  dishwright fit readings.csv --against my-dish.yaml --width "15 in"
  dishwright fit --scrap readings.csv --job my-dish.yaml
  dishwright fit read/readings.csv --job my-dish.yaml
  dishwright fit --plan --radius "25 ft" --diameter "600 mm" --gauge "0.01 mm"`,
		Args: func(cmd *cobra.Command, args []string) error {
			if f.plan || f.scrap.table != "" {
				return atMost(0, "")(cmd, args)
			}
			return exactlyOne("file of readings")(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := f.scrap.alone(cmd); err != nil {
				return err
			}
			if f.scrap.table != "" {
				return a.fitScrap(cmd.Context(), f.scrap, f.asJSON)
			}
			return runFit(a, f, args)
		},
	}
	cmd.Flags().StringVar(&f.radius, "radius", "", "radius that was asked for, such as 25 ft")
	cmd.Flags().StringVar(&f.diameter, "diameter", "", "diameter of the face, for what its rim is off by")
	cmd.Flags().StringVar(&f.gauge, "gauge", "", "finest step of the gauge, such as 0.01 mm")
	cmd.Flags().BoolVar(&f.crown, "crown", false, "a crown was measured: a rim, a plate, a caul")
	cmd.Flags().StringVar(&f.against, "against", "", "say whether what was read may be used for this `JOB`")
	cmd.Flags().StringVar(&f.width, "width", "", "with --against: width of the body, where the job is no rim")
	cmd.Flags().StringVar(&f.limit, "limit", "", "with --against: gap that may stay between rim and plate, such as 0.1 mm")
	cmd.Flags().BoolVar(&f.wood, "wood", false, "with --against: the wood was read, before it was covered")
	f.scrap.add(cmd)
	cmd.Flags().BoolVar(&f.plan, "plan", false, "say where to measure")
	cmd.Flags().StringVar(&f.sheet, "sheet", "", "write a page with the readings and the verdict to `FILE` too")
	cmd.Flags().BoolVar(&f.force, "force", false, "replace that FILE where an earlier one stands")
	cmd.Flags().BoolVar(&f.full, "full", false, "show what each reading is off by")
	cmd.Flags().BoolVar(&f.asJSON, "json", false, "write JSON")
	return a.settable(cmd)
}

func runFit(a *app, f fitFlags, args []string) error {
	switch {
	case f.asJSON && f.sheet == "-":
		return tell.Errorf("--sheet fit.html", "with --json the sheet needs a file of its own")
	case f.plan && f.sheet != "":
		return tell.Errorf("leave --sheet out; with readings it writes a page of them", "with --plan there are no readings to make a sheet of")
	}
	if done, err := a.fitDial(f, args); done {
		return err
	}
	w, err := a.wanted(f)
	if err != nil {
		return err
	}
	u := w.ruler
	gauge := measure.Length{}
	if f.gauge != "" {
		if gauge, err = lengthFlag("gauge", f.gauge, measure.Range{Least: readings.LeastGauge, Most: readings.MostGauge, From: 0.001, To: 0.5}); err != nil {
			return err
		}
	}
	if w.seat == nil { // a job tells its own unit
		u.Inches = u.Inches || gauge.Unit.Imperial()
	}
	if f.plan {
		return writePlan(a, f, w.Target, gauge, a.ruler(u))
	}
	data, err := strict.ReadFile(args[0])
	if err != nil {
		return err
	}
	set, err := readings.Read(args[0], data, gauge.MM, w.crown)
	if err == nil {
		err = w.matches(set)
	}
	if err != nil {
		return err
	}
	if w.seat == nil {
		u.Inches = u.Inches || set.Inches
	}
	u = a.ruler(u)
	if err := a.vacant(f.force, f.sheet); err != nil {
		return err
	}
	report, err := readings.Judge(set, w.Target)
	if err != nil {
		return w.refused(err)
	}
	verdict := w.hold(&report)
	if f.asJSON {
		if err := a.json(report); err != nil {
			return err
		}
	} else if f.sheet != "-" {
		writeDocument(a.report(), report.Answer(w.Radius, u, f.full))
	}
	if f.sheet != "" {
		if err := a.product(f.sheet, f.force, sheet.OfFit(report, w.Radius, u), "the sheet of the readings"); err != nil {
			return err
		}
	}
	return verdict
}

// fitPlan is where to measure, for JSON.
type fitPlan struct {
	RadiusMM   float64   `json:"radius_mm"`
	ReachMM    float64   `json:"reach_mm"`
	GaugeMM    float64   `json:"gauge_mm"`
	Middle     int       `json:"readings_in_the_middle"`
	End        int       `json:"readings_at_each_end"`
	Share      float64   `json:"radius_known_within_share"`
	OneAtRim   float64   `json:"one_percent_at_rim_mm"`
	FiveAtRim  float64   `json:"five_percent_at_rim_mm"`
	SagittaMM  float64   `json:"sagitta_mm"`
	StationsMM []float64 `json:"stations_mm"`
}

// writePlan says where to measure.
func writePlan(a *app, f fitFlags, asked readings.Target, gauge measure.Length, u measure.Ruler) error {
	if asked.Rim == 0 || gauge.MM == 0 {
		return tell.Errorf(`--diameter "600 mm" --gauge "0.01 mm"`, "a plan needs the diameter and the gauge's step")
	}
	// A foot of the gauge stays 10 mm inside the rim.
	reach := max(asked.Rim/2, asked.Rim-10)
	p := fit.PlanFor(asked.Radius.MM, reach, gauge.MM, 0.01)
	rim := func(R float64) float64 { return dish.Drop(R, asked.Rim) }
	R := asked.Radius.MM
	out := fitPlan{RadiusMM: R, ReachMM: reach, GaugeMM: gauge.MM, Middle: p.AtMiddle, End: p.AtEnd, Share: p.HalfInterval, SagittaMM: rim(R),
		OneAtRim: rim(R/1.01) - rim(R), FiveAtRim: rim(R/1.05) - rim(R), StationsMM: []float64{-reach, 0, reach}}
	if f.asJSON {
		tell.Tidy(&out)
		return a.json(out)
	}
	writeDocument(a.text(), document.Document{
		document.Paragraph{Text: fmt.Sprintf("to know %s within %s %%, read the depth under a straightedge laid across the apex %s in the middle and %d at %s from it on either side",
			asked.Radius, num(100*p.HalfInterval, 2), measure.Count(p.AtMiddle, "time"), p.AtEnd, u.Length(reach, 1))},
		document.Space{},
		document.Facts{
			{Label: "depth at the rim", Text: u.Length(out.SagittaMM, 3)},
			{Label: "1 % of the radius", Text: "is " + u.Length(out.OneAtRim, 3) + " there, 5 % is " + u.Length(out.FiveAtRim, 3)},
		},
		document.Space{},
		document.Paragraph{Text: fmt.Sprintf("Each is taken to be good for one step of the gauge, %s. A few more between them show whether the face is a sphere at all, and a second line across shows whether it is round.", gauge)},
	})
	if p.HalfInterval > 0.01 {
		return tell.Bound("no number of readings that anybody takes tells the radius within 1 % with this gauge", "a finer gauge, or a larger face")
	}
	return nil
}
