package sides

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dishwright/dish/measure"
)

// place says where the dish's middle lies under the rim.
func place(x, y float64, u measure.Ruler) string {
	s := u.Length(math.Abs(x), 0) + " from the tail"
	if x < 0 {
		s = u.Length(-x, 0) + " beyond the tail"
	}
	if math.Abs(y) < 0.5 { // nothing in whole millimetres
		return s
	}
	return s + ", " + u.Length(math.Abs(y), 0) + map[bool]string{true: " left", false: " right"}[y > 0] + " of the centre line"
}

// held is what of the rim has to lie in its dish, and where the rest is.
func (t Tool) held() (held, rest string) {
	if t.Domed {
		return "the rim's domed part", ", blend and flat over its edge"
	}
	return "the rim", ""
}

// circle names the least circle of what has to lie in the dish.
func circle(domed bool) string {
	if domed {
		return "the domed part's own circle"
	}
	return "the rim's own circle"
}

// but says what the stated dish or board does not allow at once.
func (t Tool) but(u measure.Ruler) string {
	switch {
	case len(t.Placings) > 0:
		return fmt.Sprintf(", in two placings in a dish %s across", u.Length(t.HasMM, 0))
	case t.HasMM > 0 && t.OverhangMM > hardly:
		return fmt.Sprintf(", but not with a board %s long alone", u.Length(t.HasMM, 0))
	}
	return ""
}

// sentence says which dish or board the rim takes, and how it lies on the builder's own; label
// is which of them it is about.
func (t Tool) sentence(top Dome, u measure.Ruler) (label, s string) {
	swing := " with a swing of " + u.Length(t.SwingMM, 0)
	_, rest := t.held()
	label, s = "the dish", t.needs(u)
	switch {
	case t.Takes == "board":
		label, s = "the board", t.boardFor(top, u)
	case t.boarded():
		label, s = "the board", u.Up(t.AcrossMM, 0)+" long reaches "+t.BoardWay+" the rim"+swing
	case t.Takes == "flat board":
		label, s = "the board", "any flat one: "+s
	}
	switch {
	case t.boarded():
		return label, s + "; yours has " + t.onBoard(u)
	case t.HasMM > 0:
		return label, s + "; yours has " + t.inDish(u)
	case t.Takes == "dish" && t.NeededMM > 0:
		return label, s + ", its middle " + place(t.LayX, t.LayY, u) + rest + t.leaves(u, "; ", "")
	}
	return label, s
}

// needs says which dish the rim takes.
func (t Tool) needs(u measure.Ruler) string {
	held, _ := t.held()
	swing := " with a swing of " + u.Down(t.NeedsMM, 0)
	switch {
	case !t.Domed:
		return u.Up(t.NeededMM, 0) + " across holds all of " + held + swing
	case t.NeededMM == 0:
		return "none sands " + held + " and keeps off the blend: take a domed board, " + u.Up(t.AcrossMM, 0) + " long"
	}
	return u.Up(t.NeededMM, 0) + " across sands " + held + swing + " and keeps off the blend"
}

// leaves says what of a domed part lies beyond its dish, between a text before and one after it:
// nothing of a rim that lies in it as a whole.
func (t Tool) leaves(u measure.Ruler, before, after string) string {
	if !t.Domed || t.boarded() || t.NeededMM == 0 && len(t.Placings) == 0 {
		return ""
	}
	return before + fmt.Sprintf("of the rim before the line at %s it never reaches the last %s on either side, and the last %s not at every stroke: sand those with a domed board, up to the line",
		u.Length(t.LineMM, 1), u.Up(t.UnreachedMM, 0), u.Up(t.PartlyMM, 0)) + after
}

// boarded reports whether a board is stated.
func (t Tool) boarded() bool { return t.Stretches > 0 }

// boardFor says which hollow board sands a top that is bent one way.
func (t Tool) boardFor(top Dome, u measure.Ruler) string {
	push := map[string]string{"across": "pushed along the centre line", "along": "pushed across it"}[t.BoardWay]
	return fmt.Sprintf("hollow along its length to %s, laid %s the body and %s, %s long with a swing of %s", u.Dome(top.RadiusMM), t.BoardWay, push, u.Up(t.AcrossMM, 0), u.Length(t.SwingMM, 0))
}

// onBoard says how the rim lies under the builder's board.
func (t Tool) onBoard(u measure.Ruler) string {
	s := u.Length(t.HasMM, 0)
	if t.OverhangMM > hardly {
		return s + fmt.Sprintf(", too short %s the body, whose edges lie up to %s apart: take one of %s", t.BoardWay, u.Up(t.SpanMM, 0), u.Up(t.AcrossMM, 0))
	}
	return s + fmt.Sprintf(": laid %s the body it rests on both edges everywhere and may swing %s along its length, in %s of its width", t.BoardWay, u.Down(t.ReachMM, 0), measure.Count(t.Stretches, "stretch"))
}

// inDish says how the rim lies in the builder's dish.
func (t Tool) inDish(u measure.Ruler) string {
	s := u.Length(t.HasMM, 0)
	if len(t.Placings) > 0 {
		a, b := t.Placings[0], t.Placings[1]
		if !t.Domed {
			s += fmt.Sprintf(", and %s %s", circle(t.Domed), u.Length(t.LeastMM, 1))
		}
		return s + fmt.Sprintf(": sand in two placings, the dish's middle %s, then %s, with a swing of up to %s",
			place(a.LayX, a.LayY, u), place(b.LayX, b.LayY, u), u.Down(min(a.ReachMM, b.ReachMM), 0)) + t.leaves(u, "; ", "")
	}
	_, rest := t.held()
	s += fmt.Sprintf(": with its middle %s%s the rim turns all round and may swing %s every way", place(t.LayX, t.LayY, u), rest+map[bool]string{true: ","}[rest != ""], u.Down(t.ReachMM, 0))
	if t.UnusedMM >= 1 {
		s += fmt.Sprintf("; its outer %s are never used", u.Down(t.UnusedMM, 0))
	}
	return s + t.leaves(u, "; ", "")
}

// Placed says how the rim lies on what it is sanded with, a paragraph each.
func (r *Report) Placed(u measure.Ruler) (list []string) {
	t := r.Tool
	held, rest := t.held()
	leaves := t.leaves(u, "The dish's edge, swung as it may be, stays on the tail's side of the line where the blend begins, from one side of the body to the other: ", ".")
	board := fmt.Sprintf("a board that spans it %s, %s long", t.BoardWay, u.Up(t.AcrossMM, 0))
	switch t.Takes {
	case "board":
		list = append(list, "No dish sands a top that is bent one way; it takes a board "+t.boardFor(r.Top, u)+".")
	case "flat board":
		list = append(list, fmt.Sprintf("Any flat board sands a flat top: %s across holds all of the rim with a swing of %s; %s.", u.Up(t.NeededMM, 0), u.Length(t.SwingMM, 0), board))
	case "dish":
		if t.Domed && t.NeededMM == 0 {
			list = append(list, "Of dishes "+t.needs(u)+".")
			break
		}
		own := strings.Replace(circle(t.Domed), "the ", "The ", 1) + " on the sphere is " + u.Length(t.LeastMM, 1) + " across"
		list = append(list, fmt.Sprintf("A dish of %s; %s. %s, wherever the apex is: shifted, turned or tilted in the dish, the rim stays on the same sphere.",
			strings.Replace(t.needs(u), " with a swing", ", with a swing", 1), board, own))
		if t.HasMM == 0 {
			list = append(list, strings.TrimSpace("Lay the rim so that the dish's middle comes "+place(t.LayX, t.LayY, u)+rest+". "+leaves))
		}
	}
	switch {
	case t.boarded():
		list = append(list, "Your board has "+t.onBoard(u)+".")
	case len(t.Placings) > 0:
		why := "It does not hold enough of the domed part in one that keeps the blend off it"
		if !t.Domed {
			why = fmt.Sprintf("Wherever the rim lies, some of it overhangs; with the dish's middle %s that is %s, at %s", place(t.LayX, t.LayY, u), u.Up(t.OverhangMM, 1), t.overhanging())
		}
		list = append(list, fmt.Sprintf("Yours has %s. %s. Sand in two placings:", u.Length(t.HasMM, 0), why))
		for _, p := range t.Placings {
			list = append(list, fmt.Sprintf("- for the %s, the dish's middle %s: it holds "+map[bool]string{false: "all of ", true: ""}[t.Domed]+"that part, with a swing of up to %s", p.Part, place(p.LayX, p.LayY, u), u.Down(p.ReachMM, 0)))
		}
		between := "Between them they hold all of " + held + ", turned as it may be."
		if t.Domed {
			between = leaves
		}
		list = append(list, between+" Change from one to the other often, so that neither part goes ahead of the other, and let the widths decide.")
	case t.HasMM > 0:
		text := fmt.Sprintf("Yours has %s. Lay the rim so that the dish's middle comes %s%s. There it turns all round and may swing %s every way, along the body %s, across it %s.",
			u.Length(t.HasMM, 0), place(t.LayX, t.LayY, u), rest, u.Down(t.ReachMM, 0), u.Down(t.ReachAlong, 0), u.Down(t.ReachCross, 0))
		if t.UnusedMM >= 1 {
			text += fmt.Sprintf(" The outer %s of the dish are never used.", u.Down(t.UnusedMM, 0))
		}
		if t.LeanDeg >= 0.005 {
			text += fmt.Sprintf(" It leans there by %s deg, as it shall.", measure.FormatFixed(t.LeanDeg, 2))
		}
		if leaves != "" {
			text += " " + leaves
		}
		list = append(list, text)
	}
	return list
}

// overhanging are the named places near which the rim overhangs its dish.
func (t Tool) overhanging() string {
	var names []string
	for _, o := range t.Overhangs {
		if !slices.Contains(names, "the "+o.Near) {
			names = append(names, "the "+o.Near)
		}
	}
	last := len(names) - 1
	if last < 1 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// Lay is the step that lays the rim on what it is sanded with, and moves it there.
func (r *Report) Lay(u measure.Ruler) string {
	t, weight := r.Tool, "; let its own weight do the work."
	swing := u.Length(t.SwingMM, 0)
	if t.Domed && t.HasMM == 0 {
		swing = u.Down(t.NeedsMM, 0)
	}
	if t.HasMM > 0 {
		swing = u.Down(min(t.SwingMM, t.ReachMM), 0)
	}
	switch {
	case t.boarded() || t.Takes == "board":
		return fmt.Sprintf("Lay the board %s the body, on both edges at once, swing it by up to %s along its length, and move it on by less than its width; let its own weight do the work.", t.BoardWay, swing)
	case len(t.Placings) > 0:
		a, b := t.Placings[0], t.Placings[1]
		return fmt.Sprintf("Lay the rim with the dish's middle %s for the %s, then %s for the %s, and change often; swing it by up to %s and turn it", place(a.LayX, a.LayY, u), a.Part, place(b.LayX, b.LayY, u), b.Part, u.Down(min(a.ReachMM, b.ReachMM), 0)) + weight + t.leaves(u, " Blend and flat stay off it: ", ".")
	case t.Domed && t.NeededMM == 0:
		return fmt.Sprintf("Sand the domed part with a domed board, %s long, up to the line and no further; let its own weight do the work.", u.Up(t.AcrossMM, 0))
	}
	_, rest := t.held()
	return fmt.Sprintf("Lay the rim so that the dish's middle comes %s%s. Turn it all round and swing it by up to %s", place(t.LayX, t.LayY, u), rest, swing) + weight + t.leaves(u, " Blend and flat stay off it: ", ".")
}
