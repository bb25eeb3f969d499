package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/spf13/cobra"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/tell"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// twoPasses is what two neighbouring straight passes leave of a dome, or how far apart they may
// stand: lengths in mm.
type twoPasses struct {
	Shape    string  `json:"shape"`
	Diameter float64 `json:"diameter_mm"`
	Corner   float64 `json:"corner_mm"`
	Radius   float64 `json:"radius_mm"`
	Crown    bool    `json:"crown"`
	At       float64 `json:"at_mm"` // from the apex
	Slope    float64 `json:"slope_deg"`
	Along    pair    `json:"along"`  // passes that run along the slope
	Across   pair    `json:"across"` // passes that run along the contour
	Source   string  `json:"source"`

	tool  work.Tool
	ruler measure.Ruler
	dome  string // its radius, as it was written
}

// pair is two passes.
type pair struct {
	Step    float64 `json:"step_mm"`
	Scallop float64 `json:"scallop_mm"`
	Rule    float64 `json:"rule_mm"` // the scallop by the rule of thumb
}

func newScallopCmd(a *app) *cobra.Command {
	var asJSON, crown bool
	var shape string
	text := map[string]*string{}
	cmd := &cobra.Command{
		Use:   "scallop",
		Short: "Calculate the scallop between two passes, or their step",
		Long: `Calculate, without a job, what two neighbouring straight passes of a cutter leave
between them on a dome, so far from its apex: of passes that run along the slope and
of passes across it. --step gives the scallop, --scallop the step. Beside it stands
the rule of thumb, and what is fine enough under a covering. The cutter's axis is
upright and its diameter true: a job counts a tilt and an undersize in.`,
		Example: `  dishwright scallop --cutter flat --diameter "1 in" --radius "28 ft" \
    --at "12 in" --step "12 mm"
  dishwright scallop --cutter ball --diameter "1/2 in" --radius "25 ft" \
    --at "200 mm" --scallop "0.1 mm"`,
		Args: atMost(0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			given, ruler, dome := map[string]float64{}, measure.Ruler{}, ""
			for _, name := range scallopFlags {
				if !cmd.Flags().Changed(name) {
					continue
				}
				l, err := lengthFlag(name, *text[name], scallopRanges[name])
				if err != nil {
					return err
				}
				given[name] = l.MM
				if name == "radius" {
					dome = l.String()
					continue
				}
				ruler.Inches = ruler.Inches || l.Unit.Imperial()
			}
			b, err := newTwoPasses(shape, crown, given, a.ruler(ruler))
			if err != nil {
				return err
			}
			if b.dome = dome; asJSON {
				return tell.JSON(a.out, b)
			}
			writeDocument(a.report(), b.parts())
			return nil
		},
	}
	for _, name := range scallopFlags {
		text[name] = cmd.Flags().String(name, "", scallopUsage[name])
	}
	cmd.Flags().StringVar(&shape, "cutter", "", "the cutter's `SHAPE`: flat, ball or bull")
	cmd.Flags().BoolVar(&crown, "crown", false, "the dome is a crown, as a caul has, and no hollow")
	cmd.Flags().BoolVar(&asJSON, "json", false, "write JSON")
	return a.reports(cmd)
}

var (
	scallopFlags = []string{"diameter", "corner", "radius", "at", "step", "scallop"}
	scallopUsage = map[string]string{
		"diameter": "the cutter's diameter, a `LENGTH` such as 1 in",
		"corner":   "a bull's corner radius, a `LENGTH`",
		"radius":   "the dome's radius, a `LENGTH` such as 28 ft",
		"at":       "how far from the apex, a `LENGTH`",
		"step":     "from pass to pass, a `LENGTH`: the scallop comes out",
		"scallop":  "what may stand, a `LENGTH`: the step comes out",
	}
	scallopRanges = map[string]measure.Range{
		"diameter": {Least: 0.1, Most: 300, From: 3, To: 60},
		"corner":   {Least: 0.01, Most: 150, From: 1, To: 10},
		"radius":   within("radius", leastLength, measure.MaxLength),
		"at":       {Least: leastLength, Most: measure.MaxLength, From: 50, To: 350},
		"step":     {Least: leastLength, Most: 300, From: 1, To: 30},
		"scallop":  {Least: leastLength, Most: 10, From: 0.02, To: 0.2},
	}
)

// newTwoPasses works out scallop or step from what was given; the errors say what is missing.
func newTwoPasses(word string, crown bool, given map[string]float64, u measure.Ruler) (b twoPasses, err error) {
	const such = `such as --cutter flat --diameter "1 in" --radius "28 ft" --at "12 in" --step "12 mm"`
	shapes := []path.Shape{path.Flat, path.Ball, path.Bull}
	which := slices.IndexFunc(shapes, func(s path.Shape) bool { return s.String() == word })
	switch {
	case word == "":
		return b, tell.Errorf(such, "scallop needs --cutter")
	case which < 0:
		return b, tell.Errorf("flat, ball or bull", "the shape %s is not known", measure.Quote(word))
	}
	shape := shapes[which]
	for _, name := range [...]string{"diameter", "radius", "at"} {
		if given[name] == 0 {
			return b, tell.Errorf(such, "scallop needs --%s", name)
		}
	}
	d, corner, R, at, step, most := given["diameter"], given["corner"], given["radius"], given["at"], given["step"], given["scallop"]
	switch {
	case (step > 0) == (most > 0):
		return b, tell.Errorf("the other one comes out", "scallop needs one of --step and --scallop")
	case corner == 0 && shape == path.Bull:
		return b, tell.Errorf("its corner's radius, such as --corner "+strconv.Quote(u.Written(d/4)), "a bull has a corner, a flat and a ball have none")
	case corner > 0 && shape != path.Bull:
		return b, tell.Errorf("leave --corner out, or --cutter bull", "a bull has a corner, a flat and a ball have none")
	case corner > d/2:
		return b, tell.Errorf("at most half the diameter", "a corner of %s is more than half the diameter of %s", u.Length(corner, 4), u.Length(d, 4))
	case at+2*d >= R:
		return b, tell.Errorf("nearer to the apex, or a larger radius", "a cutter of %s so far from the apex does not lie on a sphere of radius %s", u.Length(d, 4), u.Length(R, 4))
	}
	kind := dish.Hollow
	if crown {
		kind = dish.Crown
	}
	f, err := dish.NewFace(kind, R, at+2*d) // further out than both passes
	if err != nil {
		return b, err
	}
	c := path.Cutter{Shape: shape, Diameter: d, Corner: corner}
	b = twoPasses{Shape: word, Diameter: d, Corner: c.Body().Corner, Radius: R, Crown: crown, At: at, Slope: dish.Slope(R, at) * 180 / math.Pi, Source: scallopSource, ruler: u, tool: work.NewTool(f, c)}
	for _, one := range [...]struct {
		to      *pair
		scallop func(step float64) float64
		rule    func(step float64) float64
	}{{&b.Along, b.along, b.ruleAlong}, {&b.Across, b.across, b.ruleAcross}} {
		one.to.Step = step
		if most > 0 {
			one.to.Step = digits(work.WidestStep(0.98*d, most, d/10, one.scallop))
		}
		one.to.Scallop = digits(max(0, one.scallop(one.to.Step)))
		one.to.Rule = digits(one.rule(one.to.Step))
		if math.IsInf(one.to.Scallop, 1) || one.to.Step >= d {
			return b, tell.Errorf("a step below the cutter's width", "passes %s apart leave a strip uncut between them", u.Length(one.to.Step, 4))
		}
	}
	b.Slope = digits(b.Slope)
	return b, nil
}

// along is the scallop of two passes along the slope, half a step to either side of the place.
func (b *twoPasses) along(step float64) float64 {
	z, _ := b.tool.Under(step/2, b.At, 0)
	return b.tool.Face.Over(b.At, z)
}

// across is the scallop of two passes along the contour, one below the place, one above.
func (b *twoPasses) across(step float64) float64 {
	in := max(0, b.At-step/2)
	h, _, _ := b.tool.Ridge(0, in, in+step)
	return h
}

// ball is the scallop of steps of a ball of some radius on the dome, by the rule of thumb.
func (b *twoPasses) ball(step, radius float64) float64 {
	return step * step / 8 * (1/radius - b.tool.Face.Curve()/b.Radius)
}

// ruleAlong takes the cutter for a ball as large as its edge looks down the slope.
func (b *twoPasses) ruleAlong(step float64) float64 {
	return b.ball(step, b.Corner+b.tool.Flat/math.Sin(dish.Slope(b.Radius, b.At)))
}

// ruleAcross is the stair that a level end leaves or the scallop of the corner, whichever is
// lower.
func (b *twoPasses) ruleAcross(step float64) float64 {
	rule := math.Inf(1)
	if b.tool.Flat > 0 {
		rule = step * math.Tan(dish.Slope(b.Radius, b.At))
	}
	if b.Corner > 0 {
		rule = min(rule, b.ball(step, b.Corner))
	}
	return rule
}

// scallopSource says where the formulas come from.
const scallopSource = "scallop: the two undersides of the cutter, swept along their passes, where they meet (own derivation, exact). " +
	"Rule: s²/8 (1/r ∓ 1/R), r a ball's radius; of a flat end along the slope r = corner + flat/sin(slope) (Vickers and Quan, J. Eng. for Industry 111, 1989, from memory); across it a level end leaves at most the stair s tan(slope)"

// parts tell it, the answer first.
func (b twoPasses) parts() document.Document {
	u := b.ruler
	what, dome := "a "+b.Shape+" of "+u.Length(b.Diameter, 3), "hollow"
	if b.Shape == path.Bull.String() {
		what += " with a corner of " + u.Length(b.Corner, 3)
	}
	if b.Crown {
		dome = "crown"
	}
	line := func(p pair) string {
		return fmt.Sprintf("%s for steps of %s; the rule of thumb says %s", u.Length(p.Scallop, 4), u.Length(p.Step, 3), u.Length(p.Rule, 4))
	}
	fine := "finer than it needs to be"
	if h := b.Along.Scallop; h > coarse {
		fine = "coarse"
	} else if h > needed {
		fine = "fine enough"
	}
	return document.Document{
		document.Paragraph{Text: fmt.Sprintf("%s leaves %s along the slope and %s across it, %s from the apex of a %s of radius %s", what, u.Length(b.Along.Scallop, 4), u.Length(b.Across.Scallop, 4), u.Length(b.At, 3), dome, b.dome)},
		document.Space{},
		document.Facts{
			{Label: "along the slope", Text: line(b.Along)},
			{Label: "across it", Text: line(b.Across)},
			{Label: "slope there", Text: num(b.Slope, 3) + " deg"},
			{Label: "under a covering", Text: fmt.Sprintf("along the slope it is %s: grains of P80 paper are about %s, of P120 %s, of P180 %s (FEPA P, from memory), and a scallop of half a grain does not show through (common practice)", fine, u.Length(0.2, 2), u.Short(0.12, 2), u.Short(0.08, 2))},
			{Label: "source", Text: b.Source},
		},
	}
}

// coarse is half a grain of P80, needed a third of one of P180, mm: common practice, about.
const coarse, needed = 0.1, 0.03
