package cam

import (
	"math"

	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// Use is a cutter as the programs of a piece run it.
type Use struct {
	work.Piece
	Cutter   path.Cutter
	Chip     float64 // the least chip load of its sections, mm a tooth
	Deepest  float64 // z of its lowest tip, the blank's top at 0, mm
	Finishes bool    // does it finish the face?
}

// A senseRule is something that one who has done it before would say: it returns what is
// wrong and what to write, or nothing. It stops nothing.
type senseRule struct {
	kind string
	of   func(Use) (message, hint measure.Said)
}

// cutterRules look at each cutter, workRules once at the work.
var (
	cutterRules = []senseRule{
		{"rubbing", rubbing},
		{"chip-load", thickChips},
		{"deep-cut", deepCut},
		{"stick-out", slender},
		{"thin-shank", topHeavy},
		{"ball-rubs", ballRubs},
		{work.WarnUphill, climbs},
	}
	workRules = []senseRule{
		{"thin-floor", thinFloor},
		{"holder", noHolder},
		{"bed-not-flat", bedNotFlat},
	}
)

// Sense returns what the builder should know of a piece and of the programs that cut it,
// each once for a cutter.
func Sense(w work.Piece, programs []work.Program) (list []work.Warning) {
	try := func(rules []senseRule, u Use) {
		for _, r := range rules {
			if message, hint := r.of(u); !message.Empty() {
				list = append(list, work.Warning{Kind: r.kind, Message: message, Hint: hint})
			}
		}
	}
	for _, u := range uses(w, programs) {
		try(cutterRules, u)
	}
	try(workRules, Use{Piece: w})
	return list
}

// uses returns the cutters that turn, in the order of the programs.
func uses(w work.Piece, programs []work.Program) (list []Use) {
	at := map[string]int{}
	for _, p := range programs {
		if p.Purpose() == work.AirLap {
			continue
		}
		i, seen := at[p.Cutter.Name]
		if !seen {
			i = len(list)
			at[p.Cutter.Name] = i
			list = append(list, Use{Piece: w, Cutter: p.Cutter, Chip: math.Inf(1)})
		}
		u := &list[i]
		u.Deepest = min(u.Deepest, p.Extents().Min.Z)
		for _, s := range p.Sections {
			u.Chip = min(u.Chip, s.Feeds.ChipLoad)
			u.Finishes = u.Finishes || s.Purpose == work.Finishing
		}
	}
	return list
}

// usual returns how such a cutter is usually run.
func (u Use) usual() path.Cutter {
	return work.UsualCutter(u.Work.Machine, u.Cutter.Shape, u.Cutter.Diameter, u.Work.Inches())
}

// Rubs says that a cutter rubs at a chip load, and under which it does; ok is false where it
// cuts.
func Rubs(c path.Cutter, chip float64) (message measure.Said, ok bool) {
	least := work.LeastChip(c)
	return measure.Say("%s cuts only %v a tooth: under about %s a cutter of %s rubs and burns MDF (common practice)", c.Name, measure.Micro(chip), measure.MM(least), measure.MM(c.Diameter)), chip < least
}

func rubbing(u Use) (message, hint measure.Said) {
	c, least := u.Cutter, work.LeastChip(u.Cutter)
	message, ok := Rubs(c, u.Chip)
	if !ok {
		return measure.Said{}, measure.Said{}
	}
	hint = measure.Say("fewer flutes, a slower spindle, or a machine that feeds faster: its feed is what holds the chip load down")
	if c.ChipLoad < least {
		hint = measure.Say("write chip load: %s, within what the cutter's maker allows; or fewer flutes, or a slower spindle", measure.Put(u.usual().ChipLoad))
	}
	return message, hint
}

func thickChips(u Use) (message, hint measure.Said) {
	c, wood := u.Cutter, work.WoodOf(u.Work.Material)
	most := wood.MostChip(c.Diameter)
	if !(c.ChipLoad > most*(1+work.Fuzz)) {
		return measure.Said{}, measure.Said{}
	}
	return measure.Say("%s is said to take %s a tooth: the trade's tables stop at about %v for %s across in %s (common practice, from memory)", c.Name, measure.MM(c.ChipLoad), measure.To(most, 2), measure.MM(c.Diameter), wood.Name),
		measure.Say("write chip load: %s, or what its maker states for this wood", measure.Put(u.usual().ChipLoad))
}

func deepCut(u Use) (message, hint measure.Said) {
	c := u.Cutter
	if !(c.DepthOfCut > c.Diameter*(1+work.Fuzz)) {
		return measure.Said{}, measure.Said{}
	}
	return measure.Say("the depth of cut of %s, %s, is over its diameter of %s: a slot so deep bends and breaks a cutter (common practice: one diameter at most)", c.Name, measure.MM(c.DepthOfCut), measure.MM(c.Diameter)),
		measure.Say("write depth of cut: %s", measure.Put(u.usual().DepthOfCut))
}

func slender(u Use) (message, hint measure.Said) {
	c := u.Cutter
	most := float64(work.MostSlender * c.Shank)
	if !(c.StickOut > most*(1+work.Fuzz)) {
		return measure.Said{}, measure.Said{}
	}
	message = measure.Say("%s stands out %s, %.1f times its shank of %s: over about %g times it bends and chatters (common practice)", c.Name, measure.MM(c.StickOut), c.StickOut/c.Shank, measure.MM(c.Shank), work.MostSlender)
	need := max(c.FluteLength, u.Work.Face.Sagitta()+work.HolderGap, work.HolderGap-u.Deepest)
	if out := work.RoundDown(most, u.Work.Inches()); out >= need {
		return message, measure.Say("write stick out: %s, its shank that much deeper in the collet", measure.Put(out))
	}
	hint = measure.Say("take half the depth of cut; or a cutter with shorter flutes, which need only reach %s down", measure.Enough(max(-u.Deepest, 0), 0))
	for _, d := range u.Work.Machine.Collets {
		if d > c.Shank && float64(work.MostSlender*d) >= need {
			return message, measure.Say("one with a stouter shank, and write shank: %s; or %s", measure.Put(d), hint)
		}
	}
	return message, hint
}

// topHeavy finds a wide cutter on a thin shank. A shank that nobody stated is the stoutest that
// the machine takes.
func topHeavy(u Use) (message, hint measure.Said) {
	c := u.Cutter
	if !(c.Diameter > float64(work.MostWide*c.Shank)*(1+work.Fuzz)) {
		return measure.Said{}, measure.Said{}
	}
	hint = measure.Say("take half the depth of cut; or a cutter of at most %s", measure.Most(float64(work.MostWide*c.Shank), 1))
	if d := work.UsualShank(u.Work.Machine, c.Diameter); float64(work.MostWide*d) >= c.Diameter {
		hint = measure.Say("one with a stouter shank, and write shank: %s; or %s", measure.Put(d), hint)
	}
	return measure.Say("%s is %.1f times as wide as its shank of %s: over about %g times a bite bends or breaks it (common practice)", c.Name, c.Diameter/c.Shank, measure.MM(c.Shank), work.MostWide), hint
}

func ballRubs(u Use) (message, hint measure.Said) {
	c, f := u.Cutter, u.Work.Face
	off := float64(f.Rim*c.Radius()) / f.Radius
	if !u.Finishes || c.Shape != path.Ball || off == 0 {
		return measure.Said{}, measure.Said{}
	}
	return measure.Say("%s touches so shallow a face within %s of its axis, where its edge hardly moves: it rubs more than it cuts", c.Name, measure.Enough(off, 2)),
		measure.Say("a flat or a bull cutter finishes a shallow face with its full edge speed")
}

func climbs(u Use) (message, hint measure.Said) {
	c, w := u.Cutter, u.Work
	pattern := pass.PatternOf(u.Method.Pattern)
	if !u.Finishes || c.Core == 0 || w.Direction == work.Uphill || pattern.Steep == "" || !work.MustClimbWith(work.NewTool(w.Face, c), c) {
		return measure.Said{}, measure.Said{}
	}
	return measure.Say("the face slopes %.1f degrees at its rim, and %s may go down into stock at %.1f: %s", math.Atan(w.Face.RimSlope())*180/math.Pi, c.Name, c.Ramp*180/math.Pi, pattern.Steep),
		measure.Say("a ball cutter may go both ways")
}

// thinFloor finds a dish that does not carry itself: the plate that is left under its middle,
// taken as no thicker towards its rim.
func thinFloor(u Use) (message, hint measure.Said) {
	w := u.Work
	left := w.Left()
	if !w.Face.Rises() || !w.Round() || w.Support == work.OnBoard || !(left > 0) {
		return measure.Said{}, measure.Said{}
	}
	wood := work.WoodOf(w.Material)
	most, sags := work.BenchFlat, func(t float64) float64 { return wood.Sag(t, w.Face.Rim, 0) }
	if pressed := w.Support == work.OnRim || w.Support == work.OnRibs; pressed {
		most, sags = w.Scallop, w.Sag
	}
	sag, floor := sags(left), work.StiffEnough(most, sags)
	if sag <= most {
		return measure.Said{}, measure.Said{}
	}
	thick := math.Ceil(floor + w.Face.Sagitta())
	if u.Work.Inches() {
		const eighth = 25.4 / 8
		thick = float64(math.Ceil((floor+w.Face.Sagitta())/eighth) * eighth)
	}
	write := measure.Say("write thickness: %s for the blank, which leaves about %v", measure.Put(thick), measure.To(floor, 0))
	why := measure.Say("(estimate, of a flat plate with a modulus of %.0f N/mm²)", wood.Modulus)
	if w.Support == work.OnRibs {
		return measure.Say("%s of %s stay under the middle: between ribs %s apart a dish then sags about %v under a hand's %.0f N and its own weight, more than the scallop of %s %v", measure.Most(left, 1), wood.Name, measure.MM(w.Ribs), measure.To(sag, 2), work.Hand, measure.MM(most), why),
			measure.Say("%v; or set the ribs closer and write rib spacing", write)
	}
	carried := measure.Say("%s of %s stay under the middle: carried at its rim a dish %s across then sags about %v under", measure.Most(left, 1), wood.Name, measure.MM(2*w.Face.Rim), measure.To(sag, 2))
	if w.Support == work.OnRim {
		return measure.Say("%v a hand's %.0f N and its own weight, more than the scallop of %s %v", carried, work.Hand, measure.MM(most), why),
			measure.Say("%v; or lay all of it on a flat board and write support: board", write)
	}
	return measure.Say("%v its own weight, more than a bench is out of flat (about %s, common practice), and takes the shape of what it lies on %v", carried, measure.MM(most), why),
		measure.Say("%v; or screw or glue it down on a flat board and write support: board", write)
}

// noHolder finds things to keep clear of while nobody said how wide the collet nut is.
func noHolder(u Use) (message, hint measure.Said) {
	m, n := u.Work.Machine, len(u.Work.HoldDowns)+len(u.Work.Obstacles)
	if n == 0 || m.Holder.Diameter > 0 {
		return measure.Said{}, measure.Said{}
	}
	return measure.Say("NOTHING KEEPS THE COLLET NUT CLEAR of the %s that the job states: the profile of %s states no holder", measure.Plural(n, "thing"), m.Name),
		measure.Say("write holder: {diameter: ..., length: ...} in the profile, measured at the widest place of nut and nose")
}

// bedNotFlat finds a bed that puts the face off by more than a zero may be.
func bedNotFlat(u Use) (message, hint measure.Said) {
	w := u.Work
	b, ok := w.Bed()
	if !ok || b.Off <= w.ZeroError || !w.HasFace() {
		return measure.Said{}, measure.Said{}
	}
	where := "under this blank"
	if !b.Under {
		where = "over all of it"
	}
	return measure.Say("the bed lies up to %v off a plane %s, more than the zero error of %v: a blank held down on it follows, and its face is off by as much once it is free", measure.Enough(b.Off, 3), where, measure.MM(w.ZeroError)),
		measure.Say("shim the blank where it lies hollow, skim the board of waste by a program of your own, or hold the blank down where nothing bends it")
}
