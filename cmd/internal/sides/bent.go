package sides

import (
	"math"
	"slices"
	"strings"

	"dishwright/dish/measure"
)

// mostPlaces is how many places of a dry fit are named: more than that nobody clamps first.
const mostPlaces = 4

// Bent reports whether a flat plate is bent over a domed rim as it is clamped.
func (d *Dry) Bent() bool { return d != nil && d.RadiusMM == 0 && d.LargestMM >= hardly }

// Bending says how a flat plate is clamped down on a domed rim: from the places on which it rests
// to those where it stands off most. That thin plates are bent so, and braced ones are not, is
// common practice.
func (p *Report) Bending(u measure.Ruler) (from, braced string) {
	d := p.Dry
	from = "A flat plate is bent over the dome as it is clamped (common practice): it rests at " + p.named(d.Rests, u, false) + " and stands off the rim by up to " +
		u.Length(d.LargestMM, 2) + ". Clamp where it rests first, then outward from there, and last where it stands off most: " + p.named(d.Openings, u, true) + "."
	return from, "A thin plate without braces follows. One that is braced flat does not: it strains the joint and springs back. Glue its braces on arched, and so the plate with them, before it goes on the rim."
}

// named names places that one clamp does not hold together, with their gaps or without.
func (p *Report) named(list []Gap, u measure.Ruler, gaps bool) string {
	var texts []string
	var held []Gap
	for _, g := range list {
		near := func(h Gap) bool { return math.Hypot(g.X-h.X, g.Y-h.Y) < p.Clamps.SpacingMM }
		if len(texts) == mostPlaces || gaps && g.GapMM < hardly {
			break
		}
		if slices.ContainsFunc(held, near) {
			continue
		}
		held = append(held, g)
		text := u.Place(g.X, g.Y)
		if gaps {
			text += " (" + u.Length(g.GapMM, 2) + ")"
		}
		texts = append(texts, text)
	}
	return strings.Join(texts, ", ")
}
