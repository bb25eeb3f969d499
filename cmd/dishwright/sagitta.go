package main

import (
	"errors"
	"fmt"
	"io"
	"math"

	"github.com/spf13/cobra"

	"dishwright/cmd/internal/tell"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// arc is a dome of one radius over one chord, with the lengths as they were given.
type arc struct {
	radius, chord, depth float64 // mm
	given                []measure.Length
	step, within         float64 // of the table and of the depth, mm; 0 where not asked for
	full                 bool
	u                    measure.Ruler
}

func newSagittaCmd(a *app) *cobra.Command {
	var asJSON, full bool
	text := map[string]*string{}
	cmd := &cobra.Command{
		Use:   "sagitta",
		Short: "Calculate sagitta, chord and radius",
		Long: `Calculate the others from any two of a dome's radius, its chord (the width over
which the depth is taken), its depth (the sagitta) and the length along its arc, with
the slope at the rim, and the cap's area and volume. With --step comes a table of
heights, for a gauge or for the arc of a brace; with --within, how well the depth is
known, the answer to which dish this is.`,
		Example: `  dishwright sagitta --radius "25 ft" --chord "600 mm"
  dishwright sagitta --chord "16 in" --depth "3/16 in" --within "1/128 in"
  dishwright sagitta --radius "15 ft" --chord "380 mm" --step "20 mm"`,
		Args: atMost(0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			given := map[string]measure.Length{}
			for _, name := range sagittaFlags {
				if !cmd.Flags().Changed(name) {
					continue
				}
				l, err := lengthFlag(name, *text[name], sagittaRanges[name])
				if err != nil {
					return err
				}
				given[name] = l
			}
			extra := [2]float64{}
			for i, name := range [...]string{"step", "within"} {
				if l, ok := given[name]; ok {
					extra[i] = l.MM
					delete(given, name)
				}
			}
			s, err := solve(given)
			if err != nil {
				return err
			}
			s.step, s.within, s.full, s.u = extra[0], extra[1], full, a.ruler(s.ruler())
			if asJSON {
				return s.writeJSON(a.out)
			}
			d, err := s.answer()
			if err == nil {
				writeDocument(a.text(), d)
			}
			return err
		},
	}
	for _, name := range sagittaFlags {
		text[name] = cmd.Flags().String(name, "", sagittaUsage[name])
	}
	cmd.Flags().BoolVar(&full, "full", false, "tell all heights of a long table")
	cmd.Flags().BoolVar(&asJSON, "json", false, "write JSON")
	return a.reports(cmd)
}

var (
	sagittaFlags = []string{"radius", "chord", "depth", "arc", "step", "within"}
	sagittaUsage = map[string]string{
		"radius": "the dome's radius, a `LENGTH` such as 25 ft",
		"chord":  "the width over which the depth is taken, a `LENGTH`",
		"depth":  "the sagitta, a `LENGTH`",
		"arc":    "the length along the curve, a `LENGTH`",
		"step":   "write a table of heights, each `LENGTH` from the middle",
		"within": "how well the depth is known, a `LENGTH`: says which dish it is",
	}
	// what they are on most benches: common practice
	sagittaRanges = map[string]measure.Range{
		"radius": within("radius", leastLength, measure.MaxLength),
		"chord":  within("diameter", leastLength, measure.MaxLength),
		"depth":  {Least: leastLength, Most: measure.MaxLength, From: 1, To: 20},
		"arc":    within("diameter", leastLength, measure.MaxLength),
		"step":   {Least: leastLength, Most: measure.MaxLength, From: 5, To: 60},
		"within": {Least: leastLength, Most: measure.MaxLength, From: 0.01, To: 1},
	}
)

// agree is how far a depth may lie from that of the radius and the chord where
// all three are given, mm: half the last digit of a dial gauge that reads 0.01.
const agree = 0.005

// solve finds the third of radius, chord and depth.
func solve(given map[string]measure.Length) (arc, error) {
	var s arc
	for _, name := range sagittaFlags {
		if l, ok := given[name]; ok {
			s.given = append(s.given, l)
		}
	}
	if _, ok := given["arc"]; ok {
		radius, chord, err := withArc(given)
		if err != nil {
			return arc{}, err
		}
		s.radius, s.chord = radius, chord
		s.depth, err = dish.Sagitta(radius, min(chord, 2*radius))
		return s, err
	}
	s.radius, s.chord, s.depth = given["radius"].MM, given["chord"].MM, given["depth"].MM
	r, c, h := s.radius > 0, s.chord > 0, s.depth > 0
	const half = "the calculator goes up to a half ball"
	switch {
	case len(given) < 2:
		return arc{}, tell.Errorf(`such as --radius "25 ft" --chord "600 mm"`, "sagitta needs two of --radius, --chord, --depth and --arc")
	case r && c && s.chord > 2*s.radius:
		return arc{}, tell.Errorf(half, "a chord of %s is longer than a sphere of radius %s is wide", given["chord"], given["radius"])
	case r && h && s.depth > s.radius:
		return arc{}, tell.Errorf(half, "a depth of %s is more than the radius of %s", given["depth"], given["radius"])
	case c && h && !r && s.depth > s.chord/2:
		return arc{}, tell.Errorf(half, "a depth of %s is more than half the chord of %s", given["depth"], given["chord"])
	}
	var err error
	switch {
	case r && c && h:
		if err = s.disagreement(given); err == nil {
			s.depth, err = dish.Sagitta(s.radius, s.chord)
		}
	case r && c:
		s.depth, err = dish.Sagitta(s.radius, s.chord)
	case c && h:
		s.radius, err = dish.Radius(s.chord, s.depth)
	default:
		s.chord, err = dish.Chord(s.radius, s.depth)
	}
	if err == nil && s.radius > measure.MaxLength {
		err = tell.Errorf("no tool tells it from a plane", "so shallow a dome has a radius of more than %s m", measure.FormatFixed(measure.MaxLength/1000, 0))
	}
	// Rounding may put half the chord of a half ball a hair beyond the radius.
	s.chord = min(s.chord, 2*s.radius)
	return s, err
}

// disagreement is nil where all three agree; else it says what each would be
// by the other two.
func (s arc) disagreement(given map[string]measure.Length) error {
	depth, err := dish.Sagitta(s.radius, s.chord)
	if err != nil || math.Abs(depth-s.depth) <= agree {
		return err
	}
	radius, err1 := dish.Radius(s.chord, s.depth)
	chord, err2 := dish.Chord(s.radius, s.depth)
	if err := errors.Join(err1, err2); err != nil {
		return err
	}
	R, c, h := given["radius"], given["chord"], given["depth"]
	return tell.Hint(fmt.Errorf("a radius of %s, a chord of %s and a depth of %s do not agree", R, c, h),
		fmt.Sprintf("the radius and the chord make a depth of %s", both(h.WithMM(depth))),
		fmt.Sprintf("the chord and the depth make a radius of %s", both(R.WithMM(radius))),
		fmt.Sprintf("the radius and the depth make a chord of %s", both(c.WithMM(chord))))
}

// both writes a computed length in its unit, and in mm where that is another.
func both(l measure.Length) string {
	if l.Unit == measure.Millimetre {
		return l.String()
	}
	return l.String() + " (" + measure.FormatFixed(l.MM, 3) + " mm)"
}

func (s arc) slope() float64 { return dish.Slope(s.radius, s.chord/2) * 180 / math.Pi }

func (s arc) writeJSON(w io.Writer) error {
	rows, low, high, near, err := s.extras()
	if err != nil {
		return err
	}
	return tell.JSON(w, struct {
		Radius float64 `json:"radius_mm"`
		Chord  float64 `json:"chord_mm"`
		Depth  float64 `json:"depth_mm"`
		Arc    float64 `json:"arc_mm"`
		Slope  float64 `json:"slope_deg"`
		Area   float64 `json:"area_mm2"`
		Volume float64 `json:"volume_mm3"`

		Table []gaugeRow    `json:"table,omitempty"`
		Low   float64       `json:"radius_low_mm,omitempty"`
		High  float64       `json:"radius_high_mm,omitempty"` // left out where it may be flat
		Trade []tradeRadius `json:"trade_radii,omitempty"`
	}{
		digits(s.radius), digits(s.chord), digits(s.depth), digits(dish.ArcOfChord(s.radius, s.chord)), digits(s.slope()),
		digits(dish.CapArea(s.radius, s.chord/2)), digits(dish.CapVolume(s.radius, s.chord/2)),
		rows, digits(low), digits(high), near,
	})
}

// extras works out the table and which dish it is, where they are asked for; high is
// 0 where the face may be flat.
func (s arc) extras() (rows []gaugeRow, low, high float64, near []tradeRadius, err error) {
	if s.step > 0 {
		if rows, err = s.table(s.step); err != nil {
			return nil, 0, 0, nil, err
		}
	}
	if s.within > 0 {
		low, high, near, err = s.radiusRange(s.within)
		if math.IsInf(high, 1) {
			high = 0
		}
	}
	return rows, low, high, near, err
}

// figures writes a positive number with six significant figures and no exponent.
func figures(v float64) string {
	return measure.TrimZeros(measure.FormatFixed(v, decimals(v, 6)))
}

// decimals returns how many decimals show n significant figures of v.
func decimals(v float64, n int) int {
	if !(v > 0) || math.IsInf(v, 0) {
		return 0
	}
	return max(0, min(12, n-1-int(math.Floor(math.Log10(v)))))
}

// digits rounds a number of zero or more to twelve significant figures, so that
// what was calculated from inches reads 12.7, and two computers whose last bit of a
// sine differs write the same.
func digits(v float64) float64 {
	scale := math.Pow10(decimals(v, 12))
	return math.Round(v*scale) / scale
}
