package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/fit"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/machines"
)

func newMachinesCmd(a *app) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "machines [NAME]",
		Short: "Show the machine profiles and their limits",
		Long: `Show the built-in machine profiles and their limits, or one in full. NAME is a
built-in profile or the path of a profile of your own, which is then checked. machines
new writes one from four answers, machines show writes one to copy.`,
		Example: `  dishwright machines
  dishwright machines bench-600
  dishwright machines my-router.yaml --json`,
		Args: atMost(1, "machine"),
		RunE: func(_ *cobra.Command, args []string) error {
			var list []machines.Machine
			if len(args) == 1 {
				m, err := machines.Resolve(args[0], "")
				if err != nil {
					return err
				}
				list = append(list, m)
			} else {
				for _, name := range machines.BuiltinNames() {
					m, _ := machines.Builtin(name)
					list = append(list, m)
				}
			}
			switch {
			case asJSON:
				return writeMachinesJSON(a.out, list)
			case len(args) == 1:
				return writeMachine(a.text(), list[0], a.ruler(list[0].Unit.Ruler()))
			}
			return writeMachineTable(a.text(), list, a.ruler(measure.Ruler{}))
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "write JSON")
	cmd.AddCommand(newMachinesNewCmd(a), newMachinesShowCmd(a), newMachinesTrialCmd(a))
	return a.reports(cmd)
}

// The JSON of a machine.
type (
	axesJSON struct {
		X float64 `json:"x"`
		Y float64 `json:"y"`
		Z float64 `json:"z"`
	}
	dialJSON struct {
		Mark  string  `json:"mark"`
		Speed float64 `json:"speed_rpm"`
	}
	spindleJSON struct {
		Hand    bool       `json:"hand_router"`
		Slowest float64    `json:"slowest_rpm"`
		Fastest float64    `json:"fastest_rpm"`
		Start   float64    `json:"start_s"`
		Dial    []dialJSON `json:"dial"`
	}
	holderJSON struct {
		Diameter float64 `json:"diameter_mm"`
		Length   float64 `json:"length_mm"`
	}
	hoodJSON struct {
		Diameter float64 `json:"diameter_mm"`
		AboveTip float64 `json:"above_tip_mm"`
	}
	machineJSON struct {
		Name         string         `json:"name"`
		About        string         `json:"about"`
		Units        string         `json:"units"`
		Travel       axesJSON       `json:"travel_mm"`
		UnderGantry  *float64       `json:"under_gantry_mm"`               // null where not stated
		Uprights     *float64       `json:"between_uprights_mm,omitempty"` // where stated
		Feed         axesJSON       `json:"feed_mm_min"`
		Rapid        axesJSON       `json:"rapid_mm_min"`
		Acceleration axesJSON       `json:"acceleration_mm_s2"`
		Rounding     float64        `json:"corner_rounding_mm"`
		Deviation    float64        `json:"deviation_mm"` // the same, under its former name
		PathMode     string         `json:"path_mode"`    // none where no word is written
		Dwell        string         `json:"dwell"`
		LongestLine  int            `json:"longest_line"`
		Arcs         bool           `json:"arcs"`
		Decimals     int            `json:"decimals"`
		Spindle      spindleJSON    `json:"spindle"`
		Collets      []float64      `json:"collets_mm"`
		Holder       holderJSON     `json:"holder"`
		Hood         *hoodJSON      `json:"hood"`             // null where there is none
		Errors       *errorsJSON    `json:"errors,omitempty"` // where any are stated
		Bed          []axesJSON     `json:"bed_mm,omitempty"` // places of it, where it was read
		Defaults     []keys.Default `json:"defaults"`
	}
	errorsJSON struct {
		Scale     axesJSON `json:"scale_mm_per_100_mm"`
		Lean      float64  `json:"lean_mm_per_100_mm"`
		Backlash  axesJSON `json:"backlash_mm"`
		Within    float64  `json:"known_within_mm_per_100_mm"`
		Corrected bool     `json:"corrected"`
	}
)

func axes(v r3.Vec) axesJSON { return axesJSON{digits(v.X), digits(v.Y), digits(v.Z)} }

func writeMachinesJSON(w io.Writer, list []machines.Machine) error {
	out := struct {
		Machines []machineJSON `json:"machines"`
	}{}
	for _, m := range list {
		j := machineJSON{
			Name: m.Name, About: m.About, Units: m.Unit.String(),
			Travel: axes(m.Travel), Feed: axes(m.Feed), Rapid: axes(m.Rapid), Acceleration: axes(m.Acceleration),
			Rounding: digits(m.CornerRounding), Deviation: digits(m.CornerRounding), PathMode: pathMode(m), Dwell: m.Dwell.String(), LongestLine: m.LongestLine, Arcs: m.Arcs, Decimals: m.Decimals,
			Spindle: spindleJSON{Hand: m.HandRouter(), Slowest: m.Spindle.Slowest, Fastest: m.Spindle.Fastest, Start: m.Spindle.StartTime, Dial: []dialJSON{}},
			Collets: []float64{}, Holder: holderJSON{digits(m.Holder.Diameter), digits(m.Holder.Length)}, Defaults: append([]keys.Default{}, m.Defaults...),
		}
		for _, d := range m.Spindle.Dial {
			j.Spindle.Dial = append(j.Spindle.Dial, dialJSON(d))
		}
		for _, c := range m.Collets {
			j.Collets = append(j.Collets, digits(c))
		}
		if m.Hood != nil {
			j.Hood = &hoodJSON{digits(m.Hood.Diameter), digits(m.Hood.AboveTip)}
		}
		if e := m.Errors; !e.NoneKnown() {
			j.Errors = &errorsJSON{axes(r3.Scale(100, e.Scale)), digits(100 * e.Lean), axes(e.Backlash), digits(100 * e.Uncertainty), e.Corrected}
		}
		for _, p := range m.Bed {
			j.Bed = append(j.Bed, axes(p))
		}
		if m.UnderGantry > 0 {
			under := digits(m.UnderGantry)
			j.UnderGantry = &under
		}
		if m.BetweenUprights > 0 {
			between := digits(m.BetweenUprights)
			j.Uprights = &between
		}
		out.Machines = append(out.Machines, j)
	}
	return tell.JSON(w, out)
}

// short writes a number with up to three decimals.
func short(v float64) string { return measure.FormatShort(v, 3) }

// triple writes three lengths, to a micrometre and a little more.
func triple(v r3.Vec, u measure.Ruler) string {
	return u.Short(v.X, 3) + " " + u.Short(v.Y, 3) + " " + u.Short(v.Z, 3)
}

// pathMode is the path mode as a profile states it.
func pathMode(m machines.Machine) string {
	if m.PathMode == "" {
		return "none"
	}
	return m.PathMode
}

func speeds(s machines.Spindle) string {
	text := short(s.Slowest) + "-" + short(s.Fastest)
	if len(s.Dial) > 0 {
		text += ", hand"
	}
	return text
}

func collets(m machines.Machine, u measure.Ruler) string {
	var all []string
	for _, c := range m.Collets {
		all = append(all, u.Short(c, 3))
	}
	return strings.Join(all, " ")
}

func writeMachineTable(w io.Writer, list []machines.Machine, u measure.Ruler) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "machine\ttravel, %[1]s\tfeed, %[1]s/min\tspeed, rpm\tcollets, %[1]s\n", u.Unit())
	for _, m := range list {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\n", m.Name, triple(m.Travel, u), triple(m.Feed, u), speeds(m.Spindle), collets(m, u))
	}
	return t.Flush()
}

// yes writes a yes or a no.
func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// writeMachine writes all of a machine; what its programs are written in is its own business.
func writeMachine(w page, m machines.Machine, own measure.Ruler) error {
	t := tabwriter.NewWriter(w, 0, 0, 3, ' ', 0)
	row := func(name, format string, args ...any) { fmt.Fprintf(t, name+"\t"+format+"\n", args...) }
	fmt.Fprintln(t, m.Name)
	if m.About != "" {
		fmt.Fprintln(t, m.About)
	}
	u := own.Unit()
	in := func(v float64) string { return own.Short(v, 3) }
	three := func(v r3.Vec) string { return triple(v, own) }
	row("travel, x y z", "%s %s", three(m.Travel), u)
	if m.UnderGantry > 0 {
		row("bed to gantry", "%s %s", in(m.UnderGantry), u)
	}
	if m.BetweenUprights > 0 {
		row("between uprights", "%s %s", in(m.BetweenUprights), u)
	}
	row("feed while cutting", "%s %s/min", three(m.Feed), u)
	row("traverse", "%s %s/min", three(m.Rapid), u)
	row("acceleration", "%s %s/s2", three(m.Acceleration), u)
	row("corner rounding", "%s %s", in(m.CornerRounding), u)
	row("path mode", "%s", pathMode(m))
	row("dwell", "%s", m.Dwell)
	row("longest line", "%d characters", m.LongestLine)
	row("writes", "%s, %s, arcs: %s", m.Unit, measure.Count(m.Decimals, "decimal"), yes(m.Arcs))
	row("speed", "%s rpm, %s s to start", speeds(m.Spindle), short(m.Spindle.StartTime))
	if m.HandRouter() {
		var dial []string
		for _, d := range m.Spindle.Dial {
			dial = append(dial, d.Mark+": "+short(d.Speed))
		}
		row("dial", "%s", strings.Join(dial, ", "))
	}
	var inches []string
	for _, c := range m.Collets {
		if text, err := measure.Fraction(c, 64); err < 1e-6 && err > -1e-6 && !slices.Contains(inches, text) { // a collet in mm is no fraction
			inches = append(inches, text)
		}
	}
	row("collets", "%s %s", collets(m, own), u)
	if len(inches) > 0 {
		row("of these in inches", "%s", strings.Join(inches, ", "))
	}
	if m.Holder == (machines.Holder{}) {
		row("holder", "not stated: nothing keeps it clear of what stands")
	} else {
		row("holder", "%s %s across, %s %s long", in(m.Holder.Diameter), u, in(m.Holder.Length), u)
	}
	if e := m.Errors; !e.NoneKnown() {
		row("scale, x y z", "%s %[3]s per 100 %[3]s too far, corrected: %[2]s", triple(r3.Scale(100, e.Scale), measure.Ruler{}), yes(e.Corrected), u)
		row("lean of y to +x", "%s, known within %s", own.Slope(e.Lean), own.Slope(e.Uncertainty))
		row("backlash, x y z", "%s %s", three(e.Backlash), u)
	}
	if p, ok := fit.PlaneThrough(m.Bed); ok {
		row("bed", "%d places, rises %s along X and %s along Y, up to %s %s off that", len(m.Bed), own.Slope(p.A), own.Slope(p.B), in(p.Off), u)
	}
	if m.Hood != nil {
		row("dust hood", "%s %s across, %s %s above the tip", in(m.Hood.Diameter), u, in(m.Hood.AboveTip), u)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	writeDocument(w, shop.DefaultsParts(m.Defaults, own))
	return nil
}
