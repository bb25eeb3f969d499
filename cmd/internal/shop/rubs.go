package shop

import (
	"math"

	"dishwright/cam"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// rubs warns of programs whose cutter rubs for most of the time that it feeds below the
// blank's top: what make warns of in a job, told of a text. Down into stock make plans a
// share of the feed: what is above that share of the least chip load is not told.
func (v *Verdict) rubs(w *work.Work, programs []proof.Program) {
	for _, p := range programs {
		f, ok := work.NewFeeds(w.Machine, p.Cutter, 0, p.Cutter.DepthOfCut)
		if !ok || p.Cutter.Flutes == 0 {
			continue
		}
		speed, events := 0.0, p.Path.Events
		if w.Machine.HandRouter() {
			speed = f.Speed
		}
		var all, slow, teeth, way float64 // minutes, and of the slow ones
		for i, m := range p.Path.Moves {
			for ; len(events) > 0 && events[0].Before <= i; events = events[1:] {
				if events[0].Kind == path.SpindleOn {
					speed = events[0].Value
				}
			}
			least := float64(work.LeastChip(p.Cutter) * speed * float64(p.Cutter.Flutes) * (f.Plunge / f.Feed))
			took := m.Length() / m.Feed
			if lo, _ := m.Box(); m.Kind == path.Traverse || !(lo.Z < w.Skim.Off) || !(took > 0) || math.IsInf(took, 1) {
				continue
			}
			all += took
			if m.Feed+work.FeedStep(w.Machine) < least { // a program's feeds are rounded down
				slow, way, teeth = slow+took, way+m.Length(), teeth+float64(took*speed*float64(p.Cutter.Flutes))
			}
		}
		if slow > all/2 {
			message, _ := cam.Rubs(p.Cutter, way/teeth)
			v.Warnings = append(v.Warnings, work.Warning{Kind: "rubbing", Message: measure.Say("%s, most of its time in the wood: %v", p.Name, message),
				Hint: measure.Say("a faster feed, a slower spindle or fewer flutes; at %.0f rpm make would feed it at %v", f.Speed, measure.Rate(f.Feed))})
		}
	}
}
