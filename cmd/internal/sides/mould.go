package sides

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/job"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/dish/rim"
)

// mouldPiece is the longest side of the polygon that a mould's inside is taken for,
// mm: where the outline bends by 50 mm it lies 0.01 mm within it.
const mouldPiece = 2.0

// Mould returns the cutting of the edge of a mould whose inside is the outline:
// places in its Work are measured from under the top's apex, X towards the head.
func Mould(j job.Rim, open Opener) (job.Job, error) {
	if j.Mould == nil {
		return job.Job{}, strict.Faults{j.Fault("form", "sides are sanded, not cut: a rim has no programs", "dishwright rim works it out; cut: mould cuts the edge of a solid mould")}
	}
	b := &builder{job: j, open: open}
	body := b.body()
	if err := b.err(); err != nil {
		return job.Job{}, err
	}
	if body.Top.Kind != rim.Sphere || body.Top.FlatFrom > 0 {
		b.fault("cut", "a top that is a sphere all over; or saw and sand the mould by the table of dishwright rim", "the edge of a mould is cut to a sphere alone")
		return job.Job{}, b.err()
	}
	o := body.Outline
	n := math.Ceil(o.Perimeter() / mouldPiece)
	var line []r2.Vec
	for i := 0.0; i < n; i++ {
		line = append(line, r2.Sub(o.At(o.Perimeter()*i/n).At, body.Top.Apex))
	}
	made := j.Mould.Job
	w := &made.Work
	band, err := dish.NewBand(line, j.Mould.Wall)
	if err != nil {
		b.fault("mould/wall", "from 3 mm on", "%v", tells(err))
		return job.Job{}, b.err()
	}
	face, err := dish.NewFace(dish.Crown, body.Top.Radius, band.Extent())
	if err != nil {
		b.fault("top/radius", "a larger radius", "%v", tells(err))
		return job.Job{}, b.err()
	}
	w.Region, w.Face = band, face
	made.Diameter = measure.Length{MM: 2 * face.Rim}
	return made, nil
}
