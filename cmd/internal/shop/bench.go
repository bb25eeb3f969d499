package shop

import "dishwright/dish"

// Station is a place at which the finished face is measured: its distance from the
// apex, and how deep it lies there below the rim of a hollow, or below the apex of a
// crown, mm.
type Station struct{ At, Wood, Finished float64 }

// Stations are where the finished face is checked, from the middle outward, every
// step mm; Wood is the face as it is cut, Finished with its covering. A mould's edge
// and templates have none.
func (r *Result) Stations(step float64) (list []Station) {
	w := &r.Plan.Work
	if len(r.Words().Checks()) > 0 || !(step > 0) {
		return nil
	}
	long, _ := w.Region.Size()
	reach := long / 2
	depth := func(R, d float64) float64 { return 0 - dish.Face{Kind: w.Face.Kind, Radius: R, Rim: reach}.Height(d) }
	const most = 200
	for i := 0; i < most; i++ {
		d := float64(i) * step
		if d > reach {
			break
		}
		list = append(list, Station{d, depth(w.Face.Radius, d), depth(w.Wanted, d)})
	}
	return list
}
