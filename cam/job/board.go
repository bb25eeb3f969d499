package job

import (
	"fmt"
	"math"

	"dishwright/cam/job/key"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// board is a hollow board that is swung by hand along its length over both sides.
type board struct{ Dish }

func (board) Word() string { return key.Board }

func (board) Read(r *Reader) {
	if r.Face(dish.Hollow, r.strip) {
		r.hand()
	}
	r.Cut("rectangle", landBoard)
	r.stiff()
}

func (board) Words(j Job, own func(mm float64) string) Words { return boardWords{DishWords{j, own}} }

// strip reads the size and the curve of a board; rim is the distance of its corners
// from its middle.
func (l *Reader) strip() (rim float64, size string, ok bool) {
	w := &l.Job.Work
	long, okL := l.Root.Length("length")
	wide, okW := l.Root.Length("width")
	w.Face.Cylinder = l.Root.Word("curve") == "cylindrical"
	if !okL || !okW {
		return 0, "", false
	}
	if wide.MM > long.MM {
		l.Root.Fault("width", fmt.Sprintf("a board %s wide is longer across than along (%s)", wide, long), "length is along the curve that is felt across the sides; exchange the two")
		return 0, "", false
	}
	l.Job.Length, l.Job.Width = long, wide
	s := dish.Strip{Length: long.MM, Width: wide.MM}
	w.Region = s
	return s.OuterRadius(), "a length of " + long.String(), true
}

// hand works out what a board can be used for by hand: the widest sides that it
// spans with its swing, and how far it bends under the hand.
func (l *Reader) hand() {
	l.Job.Swing = l.Root.Amount("swing")
	span := l.Job.Length.MM - l.Job.Swing
	if l.Root.Has("spans") {
		over, ok := l.Root.Length("spans")
		if ok && over.MM > span {
			l.Root.Fault("length", fmt.Sprintf("a board of %s swung by %s stays on both sides only up to %s apart; they are %s", l.Job.Length, l.writes(l.Job.Swing), l.writes(max(0, span)), over),
				fmt.Sprintf("a length of at least %s, or a shorter swing", l.Job.Length.WithMM(math.Ceil(over.MM+l.Job.Swing))))
			return
		}
		span = over.MM
	}
	l.Job.Spans = span
}

// stiff says how far a board bends between the sides under a hand that presses its
// middle: F L³ / (48 E I). Own derivation: half of it is bent by F x/2, E I w″ = −F x/2,
// with w = 0 at the support and w′ = 0 in the middle.
func (l *Reader) stiff() {
	w := &l.Job.Work
	if w.Blank.Thickness == 0 || l.Job.Spans <= 0 {
		return
	}
	thin := w.Blank.Thickness - w.Face.Sagitta()
	if !(thin > 0) {
		return
	}
	wood := work.WoodOf(w.Material)
	bend := work.Hand * math.Pow(l.Job.Spans, 3) / (48 * wood.Modulus * l.Job.Width.MM * thin * thin * thin / 12)
	l.Job.Bends = bend
	message := measure.Say("pressed with %.0f N in the middle between sides %v apart, %v of %s bend %v: a sphere of %v reads as about %v there", work.Hand, measure.To(l.Job.Spans, 0), measure.Tenth(thin), wood.Name, measure.To(bend, 2),
		measure.To(w.Wanted, 0), measure.To(1/max(1e-9, 1/w.Wanted-8*bend/(l.Job.Spans*l.Job.Spans)), 0))
	hint := measure.Say("press over the sides and not in the middle, or glue a rib on edge along the board's back; a blank of %v would keep within the scallop", measure.Enough(float64(thin*math.Cbrt(bend/w.Scallop))+w.Face.Sagitta(), 0))
	if bend > w.Scallop {
		l.Job.Warnings = append(l.Job.Warnings, work.Warning{Kind: "board-bends", Message: message, Hint: hint})
	}
}

type boardWords struct{ DishWords }

func (f boardWords) Product() string {
	j, curve := f.Job, "spherical"
	if j.Work.Face.Cylinder {
		curve = "cylindrical"
	}
	return fmt.Sprintf("A hollow %s board of radius %s, %s by %s", curve, j.Radius, j.Length, j.Width)
}

func (f boardWords) Heading() string { return lower(f.Product()) }

func (f boardWords) Sizes() Sizes {
	j, w := f.Job, f.Job.Work
	s := Sizes{Radius: w.Face.Radius, Spans: j.Spans, Bends: j.Bends}
	s.Length, s.Width = w.Region.Size()
	s.OffSphere = w.Face.OffSphere(w.Wanted, s.Width)
	return s
}

func (f boardWords) Warnings() (list []work.Warning) {
	j := f.Job
	if off := f.Sizes().OffSphere; off > 0 {
		list = append(list, work.Warning{Kind: "cylinder",
			Message: measure.Say("a cylinder is off the sphere by w²/8R across its width: %s here, beside the scallop", measure.MM(off)),
			Hint:    measure.Say("swing it only along its length, square to the sides' edge, or make it spherical")})
	}
	return append(list, work.Warning{Kind: "board-spans",
		Message: measure.Say("swung by %s it stays on both sides of an outline up to %s wide there; pressed by hand in its middle it bends about %v", measure.MM(j.Swing), measure.MM(j.Spans), measure.To(j.Bends, 2)),
		Hint:    measure.Say("measure the outline at its widest, and press over the sides")})
}

func (f boardWords) Sanding(own func(mm float64) string) (moved, how string) {
	at := "at every angle to the centre line that its face allows."
	if f.Job.Work.Face.Cylinder {
		at = "always square to the centre line: it is a cylinder."
	}
	return "board", fmt.Sprintf("Swing the board along its length by up to %s, over both sides at once, %s", own(f.Job.Swing), at)
}
