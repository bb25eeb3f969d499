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
	s := u.Length(x, 0) + " from the tail"
	if math.Abs(y) < 0.5 { // nothing in whole millimetres
		return s
	}
	return s + ", " + u.Length(math.Abs(y), 0) + map[bool]string{true: " left", false: " right"}[y > 0] + " of the centre line"
}

// held is what of the rim has to lie in its dish, and where the rest is.
func (t Tool) held() (held, rest string) {
	if t.Domed {
		return "the rim's domed part", ", the flat over its edge"
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
	held, rest := t.held()
	label, s = "the dish", u.Up(t.NeededMM, 0)+" across holds all of "+held+swing
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
	case t.Takes == "dish":
		return label, s + ", its middle " + place(t.LayX, t.LayY, u) + rest
	}
	return label, s
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
		return s + fmt.Sprintf(", and %s %s: sand in two placings, the dish's middle %s, then %s, with a swing of up to %s", circle(t.Domed), u.Length(t.LeastMM, 1),
			place(a.LayX, a.LayY, u), place(b.LayX, b.LayY, u), u.Down(min(a.ReachMM, b.ReachMM), 0))
	}
	_, rest := t.held()
	s += fmt.Sprintf(": with its middle %s%s the rim turns all round and may swing %s every way", place(t.LayX, t.LayY, u), rest+map[bool]string{true: ","}[rest != ""], u.Down(t.ReachMM, 0))
	if t.UnusedMM >= 1 {
		s += fmt.Sprintf("; its outer %s are never used", u.Down(t.UnusedMM, 0))
	}
	return s
}

// Placed says how the rim lies on what it is sanded with, a paragraph each.
func (r *Report) Placed(u measure.Ruler) (list []string) {
	t := r.Tool
	held, rest := t.held()
	board := fmt.Sprintf("a board that spans it %s, %s long", t.BoardWay, u.Up(t.AcrossMM, 0))
	switch t.Takes {
	case "board":
		list = append(list, "No dish sands a top that is bent one way; it takes a board "+t.boardFor(r.Top, u)+".")
	case "flat board":
		list = append(list, fmt.Sprintf("Any flat board sands a flat top: %s across holds all of the rim with a swing of %s; %s.", u.Up(t.NeededMM, 0), u.Length(t.SwingMM, 0), board))
	default:
		own := strings.Replace(circle(t.Domed), "the ", "The ", 1) + " on the sphere is " + u.Length(t.LeastMM, 1) + " across"
		list = append(list, fmt.Sprintf("A dish of %s across holds all of %s, with a swing of %s; %s. %s, wherever the apex is: shifted, turned or tilted in the dish, the rim stays on the same sphere.",
			u.Up(t.NeededMM, 0), held, u.Length(t.SwingMM, 0), board, own))
		if t.HasMM == 0 {
			list = append(list, "Lay the rim so that the dish's middle comes "+place(t.LayX, t.LayY, u)+rest+".")
		}
	}
	switch {
	case t.boarded():
		list = append(list, "Your board has "+t.onBoard(u)+".")
	case len(t.Placings) > 0:
		list = append(list, fmt.Sprintf("Yours has %s. Wherever the rim lies, some of it overhangs; with the dish's middle %s that is %s, at %s. Sand in two placings:", u.Length(t.HasMM, 0), place(t.LayX, t.LayY, u), u.Up(t.OverhangMM, 1), t.overhanging()))
		for _, p := range t.Placings {
			list = append(list, fmt.Sprintf("- for the %s, the dish's middle %s: it holds all of that part, with a swing of up to %s", p.Part, place(p.LayX, p.LayY, u), u.Down(p.ReachMM, 0)))
		}
		list = append(list, "Between them they hold all of "+held+", turned as it may be. Change from one to the other often, so that neither part goes ahead of the other, and let the widths decide.")
	case t.HasMM > 0:
		text := fmt.Sprintf("Yours has %s. Lay the rim so that the dish's middle comes %s%s. There it turns all round and may swing %s every way, along the body %s, across it %s.",
			u.Length(t.HasMM, 0), place(t.LayX, t.LayY, u), rest, u.Down(t.ReachMM, 0), u.Down(t.ReachAlong, 0), u.Down(t.ReachCross, 0))
		if t.UnusedMM >= 1 {
			text += fmt.Sprintf(" The outer %s of the dish are never used.", u.Down(t.UnusedMM, 0))
		}
		if t.LeanDeg >= 0.005 {
			text += fmt.Sprintf(" It leans there by %s deg, as it shall.", measure.FormatFixed(t.LeanDeg, 2))
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
	if t.HasMM > 0 {
		swing = u.Down(min(t.SwingMM, t.ReachMM), 0)
	}
	switch {
	case t.boarded() || t.Takes == "board":
		return fmt.Sprintf("Lay the board %s the body, on both edges at once, swing it by up to %s along its length, and move it on by less than its width; let its own weight do the work.", t.BoardWay, swing)
	case len(t.Placings) > 0:
		a, b := t.Placings[0], t.Placings[1]
		return fmt.Sprintf("Lay the rim with the dish's middle %s for the %s, then %s for the %s, and change often; swing it by up to %s and turn it", place(a.LayX, a.LayY, u), a.Part, place(b.LayX, b.LayY, u), b.Part, u.Down(min(a.ReachMM, b.ReachMM), 0)) + weight
	}
	_, rest := t.held()
	return fmt.Sprintf("Lay the rim so that the dish's middle comes %s%s. Turn it all round and swing it by up to %s", place(t.LayX, t.LayY, u), rest, swing) + weight
}
