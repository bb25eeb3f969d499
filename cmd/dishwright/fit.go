package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

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
	crown, plan, asJSON, force bool
}

func newFitCmd(a *app) *cobra.Command {
	var f fitFlags
	cmd := &cobra.Command{
		Use:   "fit READINGS --radius LEN",
		Short: "Find the radius really cut, from measurements",
		Long: `Fit a sphere to readings of a finished dish, board, rim or plate, and tell its
radius with the interval that holds the true one in 95 of 100 cases, the apex, what
each reading is off by, which one is wrong, whether the face is round, and where to
measure again. READINGS is a CSV file with the columns x_mm,y_mm,z_mm (places) or
x_mm,depth_mm (depths under a straightedge laid across the apex), or a YAML file,
whose keys dishwright manual fit shows.

With --plan nothing is read: it says where to measure so as to know the radius
within 1 %, and what 1 % and 5 % mean at the rim.`,
		Example: `  dishwright fit readings.csv --radius "25 ft" --gauge "0.01 mm"
  dishwright fit --plan --radius "25 ft" --diameter "600 mm" --gauge "0.01 mm"`,
		Args: func(cmd *cobra.Command, args []string) error {
			if f.plan {
				return atMost(0, "")(cmd, args)
			}
			return exactlyOne("file of readings")(cmd, args)
		},
		RunE: func(_ *cobra.Command, args []string) error { return runFit(a, f, args) },
	}
	cmd.Flags().StringVar(&f.radius, "radius", "", "radius that was asked for, such as 25 ft")
	cmd.Flags().StringVar(&f.diameter, "diameter", "", "diameter of the face, for what its rim is off by")
	cmd.Flags().StringVar(&f.gauge, "gauge", "", "finest step of the gauge, such as 0.01 mm")
	cmd.Flags().BoolVar(&f.crown, "crown", false, "a crown was measured: a rim, a plate, a caul")
	cmd.Flags().BoolVar(&f.plan, "plan", false, "say where to measure")
	cmd.Flags().StringVar(&f.sheet, "sheet", "", "write a page with the readings and the verdict to `FILE` too")
	cmd.Flags().BoolVar(&f.force, "force", false, "replace that FILE where an earlier one stands")
	cmd.Flags().BoolVar(&f.asJSON, "json", false, "write JSON")
	return cmd
}

func runFit(a *app, f fitFlags, args []string) error {
	switch {
	case f.asJSON && f.sheet == "-":
		return tell.Errorf("--sheet fit.html", "with --json the sheet needs a file of its own")
	case f.plan && f.sheet != "":
		return tell.Errorf("leave --sheet out; with readings it writes a page of them", "with --plan there are no readings to make a sheet of")
	}
	if f.radius == "" {
		return tell.Errorf(`--radius "25 ft"`, "fit needs the radius that was asked for")
	}
	radius, err := lengthFlag("radius", f.radius, within("radius", 1, mostLength))
	if err != nil {
		return err
	}
	asked := readings.Target{Radius: radius}
	if f.diameter != "" {
		d, err := lengthFlag("diameter", f.diameter, within("diameter", 1, mostLength))
		if err != nil {
			return err
		}
		if asked.Rim = d.MM / 2; asked.Rim >= radius.MM {
			return tell.Errorf("a diameter well under twice the radius", "a sphere of radius %s is not %s wide", radius, d)
		}
	}
	gauge := measure.Length{}
	if f.gauge != "" {
		if gauge, err = lengthFlag("gauge", f.gauge, measure.Range{Least: readings.LeastGauge, Most: readings.MostGauge, From: 0.001, To: 0.5}); err != nil {
			return err
		}
	}
	if f.plan {
		return writePlan(a, f, asked, gauge)
	}
	data, err := strict.ReadFile(args[0])
	if err != nil {
		return err
	}
	set, err := readings.Read(args[0], data, gauge.MM, f.crown)
	if err != nil {
		return err
	}
	if err := a.vacant(f.force, f.sheet); err != nil {
		return err
	}
	report, err := readings.Judge(set, asked)
	if err != nil {
		return err
	}
	if f.asJSON {
		if err := a.json(report); err != nil {
			return err
		}
	} else if f.sheet != "-" {
		writeFit(a.report(), report, radius)
	}
	if f.sheet == "" {
		return nil
	}
	return a.product(f.sheet, f.force, sheet.OfFit(report, radius), "the sheet of the readings")
}

// writeFit writes what the readings tell.
func writeFit(w io.Writer, r readings.Report, asked measure.Length) {
	writeWrapped(w, "", r.Verdict)
	fmt.Fprintln(w)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	inUnit := func(mm float64) string { return fmt.Sprintf("%s mm (%s)", num(mm, 0), asked.WithMM(mm)) }
	fmt.Fprintf(t, "  radius\t%s of a %s\n", inUnit(r.RadiusMM), r.Face)
	fmt.Fprintf(t, "  95 of 100\t%s\n", inUnit(r.LowMM))
	if r.HighMM != nil {
		fmt.Fprintf(t, "  \tto %s\n", inUnit(*r.HighMM))
	} else {
		fmt.Fprintf(t, "  \tto a flat: the readings do not tell them apart\n")
	}
	fmt.Fprintf(t, "  asked for\t%s\n", inUnit(r.AskedMM))
	if r.CorrectedMM > 0 {
		fmt.Fprintf(t, "  next time\tradius: %s mm in the job would make up for it\n", num(r.CorrectedMM, 0))
	}
	fmt.Fprintf(t, "  at the rim\t%s mm off the wanted depth, at %s mm from the apex\n", measure.FormatFixed(r.AtRimMM, 3), num(r.RimMM, 1))
	if r.Apex != nil {
		fmt.Fprintf(t, "  apex\tX%s Y%s Z%s mm\n", num(r.Apex.X, 1), num(r.Apex.Y, 1), measure.FormatFixed(r.Apex.Z, 3))
	}
	fmt.Fprintf(t, "  scatter\t%s mm rms over %d readings; a reading is good for %s mm\n", measure.FormatFixed(r.RMSMM, 4), r.Readings, measure.FormatFixed(r.NoiseMM, 4))
	if o := r.Roundness; o != nil {
		most := "flat"
		if o.MostMM != nil {
			most = num(*o.MostMM, 0) + " mm"
		}
		word := "not told from chance"
		if o.Sure {
			word = "surely so"
		}
		fmt.Fprintf(t, "  roundness\t%s mm at %s deg, %s across it: %s\n", num(o.LeastMM, 0), num(o.AngleDeg, 0), most, word)
	}
	if e := r.AsErrors; e != nil && e.Sure {
		fmt.Fprintf(t, "  as a machine\tscale x %s, y %s, lean %s mm per 100 mm: one with these errors would\n  \thave cut it, if its heights are true and it was read as it lay\n", num(e.ScaleX, 3), num(e.ScaleY, 3), num(e.Lean, 3))
	}
	t.Flush()
	writeResiduals(w, r)
	if len(r.More) > 0 {
		var list []string
		for _, m := range r.More {
			list = append(list, fmt.Sprintf("%d at X%s Y%s", m.Count, num(m.X, 0), num(m.Y, 0)))
		}
		writeWrapped(w, "\nto halve the interval: ", "as many readings more: "+strings.Join(list, ", "))
	}
	if r.Limit != "" {
		writeWrapped(w, "\nthe limit: ", r.Limit)
	}
	for i, one := range r.Warnings {
		if i == 0 {
			fmt.Fprintln(w, "\nworth knowing")
		}
		writeWrapped(w, fmt.Sprintf("  %d. ", i+1), one)
	}
}

// barHalf is how wide one half of a residual's bar is, in characters.
const barHalf = 16

// mostBars are drawn; of more readings those that are off the most.
const mostBars = 60

// writeResiduals draws how far each reading stands above or below the sphere.
func writeResiduals(w io.Writer, r readings.Report) {
	largest := 0.0
	for _, e := range r.Residuals {
		if !e.Outlier {
			largest = max(largest, math.Abs(e.Residual))
		}
	}
	shown := 0.0
	if len(r.Residuals) > mostBars {
		shown = largest / 2
	}
	fmt.Fprintf(w, "\nreadings above (>) and below (<) the sphere; a full bar is %s mm\n", measure.FormatFixed(largest, 4))
	skipped := 0
	for i, e := range r.Residuals {
		if math.Abs(e.Residual) < shown && !e.Outlier {
			skipped++
			continue
		}
		n := barHalf
		if largest > 0 && !e.Outlier {
			n = int(math.Round(math.Abs(e.Residual) / largest * barHalf))
		}
		left, right := strings.Repeat(" ", barHalf), ""
		if e.Residual < 0 {
			left = strings.Repeat(" ", barHalf-n) + strings.Repeat("<", n)
		} else {
			right = strings.Repeat(">", n)
		}
		note := ""
		if e.Outlier {
			note = "  wrong?"
		}
		fmt.Fprintf(w, "%5d  X%7s Y%7s %9s %s|%s%s\n", i+1, measure.FormatFixed(e.X, 1), measure.FormatFixed(e.Y, 1), measure.FormatFixed(e.Residual, 4), left, right, note)
	}
	if skipped > 0 {
		fmt.Fprintf(w, "       and %d that are off by less than half of that\n", skipped)
	}
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
func writePlan(a *app, f fitFlags, asked readings.Target, gauge measure.Length) error {
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
	w := a.text()
	writeWrapped(w, "", fmt.Sprintf("to know %s within %s %%, depths under a straightedge laid across the apex:", asked.Radius, num(100*p.HalfInterval, 2)))
	fmt.Fprintf(w, "\n  %d in the middle, %d at %s mm from it on either side\n\n", p.AtMiddle, p.AtEnd, num(reach, 1))
	writeWrapped(w, "  ", fmt.Sprintf("Each is taken to be good for one step of the gauge, %s. A few more between them show whether the face is a sphere at all, and a second line across shows whether it is round.", gauge))
	fmt.Fprintf(w, "\n  depth at the rim  %s mm\n  1 %% of the radius is %s mm there, 5 %% is %s mm\n", measure.FormatFixed(out.SagittaMM, 3), measure.FormatFixed(out.OneAtRim, 3), measure.FormatFixed(out.FiveAtRim, 3))
	if p.HalfInterval > 0.01 {
		return tell.Bound("no number of readings that anybody takes tells the radius within 1 % with this gauge", "a finer gauge, or a larger face")
	}
	return nil
}
