package rim

import (
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
)

// A sphere has no apex of its own: what places the dome is how the rim lies in the
// dish. Tilted by φ its apex moves by R sin φ.

// ApexShift returns how far a dome's apex moves when the rim lies tilted in the dish,
// mm: R sin φ, for the apex lies upright under the sphere's centre.
func ApexShift(radius, angle float64) float64 { return float64(radius * math.Sin(angle)) }

// MeasuredWidth is a side's width as it was measured at a station.
type MeasuredWidth struct {
	Station Station
	Width   float64 // mm
}

// Attitude is how a half-sanded rim has to be brought down to its depths.
type Attitude struct {
	Excess []float64 // what is still too much at each place, mm
	Mean   float64   // at the middle of the places, mm
	Pitch  float64   // rise of what is too much towards the head, radians
	Roll   float64   // towards the left side, radians
	Apex   r2.Vec    // how far the apex stands from its place while that is so, mm
}

// Attitude compares measured widths, at least one, with what they shall be: the
// plane that fits the differences best says which end has more to come off.
// Pitch and Roll are 0 where the places do not tell them.
func (b Body) Attitude(list []MeasuredWidth) Attitude {
	a := Attitude{}
	var middle r2.Vec
	for _, d := range list {
		a.Excess = append(a.Excess, d.Width-d.Station.Width)
		middle = exact.AddScaled2(middle, d.Station.At, 1/float64(len(list)))
	}
	for _, l := range a.Excess {
		a.Mean += l / float64(len(list))
	}
	x, y := spreadIn(list, middle, func(v r2.Vec) float64 { return v.X }), spreadIn(list, middle, func(v r2.Vec) float64 { return v.Y })
	switch {
	case x && y && len(list) >= 3:
		a.Pitch, a.Roll = slopesOfPlane(list, a.Excess, middle, a.Mean)
	case x:
		a.Pitch = slopeOfLine(list, a.Excess, middle, func(v r2.Vec) float64 { return v.X })
	case y:
		a.Roll = slopeOfLine(list, a.Excess, middle, func(v r2.Vec) float64 { return v.Y })
	}
	a.Pitch, a.Roll = math.Atan(a.Pitch), math.Atan(a.Roll)
	// Where the head has too much, the dome cut so far is the wanted one turned down
	// towards the tail: its apex stands towards the head.
	a.Apex = r2.Vec{X: ApexShift(b.Top.Radius, a.Pitch), Y: ApexShift(b.Top.Radius, a.Roll)}
	return a
}

// spreadIn reports whether the places lie apart by more than a tenth of a millimetre
// in a direction.
func spreadIn(list []MeasuredWidth, middle r2.Vec, of func(r2.Vec) float64) bool {
	for _, d := range list {
		if math.Abs(of(d.Station.At)-of(middle)) > 0.1 {
			return true
		}
	}
	return false
}

// slopeOfLine returns the slope of the best line.
func slopeOfLine(list []MeasuredWidth, excess []float64, middle r2.Vec, of func(r2.Vec) float64) float64 {
	numerator, denominator := 0.0, 0.0
	for i, d := range list {
		u := of(d.Station.At) - of(middle)
		numerator += float64(u * excess[i])
		denominator += float64(u * u)
	}
	return numerator / denominator
}

// slopesOfPlane returns the slopes of the best plane; 0, 0 where the places lie in a line.
func slopesOfPlane(list []MeasuredWidth, excess []float64, middle r2.Vec, mean float64) (x, y float64) {
	places, values := mat.NewDense(len(list), 2, nil), mat.NewVecDense(len(list), nil)
	for i, d := range list {
		v := r2.Sub(d.Station.At, middle)
		places.SetRow(i, []float64{v.X, v.Y})
		values.SetVec(i, excess[i]-mean)
	}
	var slopes mat.VecDense
	if err := slopes.SolveVec(places, values); err != nil {
		return 0, 0
	}
	return slopes.AtVec(0), slopes.AtVec(1)
}

// TopInDish returns the top that a dish of another radius sands, when the depths at
// the head, or where the domed part ends, and at the tail are held: its heights differ from the wanted ones
// everywhere else. It is an error where the dish does not reach that far.
func (b Body) TopInDish(radius float64) (Dome, error) {
	end := r2.Vec{X: b.DomedTo()}
	return b.topBetween(radius, end.X, Depths{Head: b.Top.Height(end), Tail: b.Top.Height(r2.Vec{})})
}

// topBetween returns the top of a radius that lies at the heights at the tail and so many mm from
// it on the centre line.
func (b Body) topBetween(radius, length float64, ends Depths) (Dome, error) {
	// The circle through both, its centre below: the back's, turned over.
	d, err := BackThrough(Sphere, radius, Dome{Kind: Plane}, length, ends)
	if err != nil {
		return Dome{}, err
	}
	d.Back, d.Level = false, -d.Level
	d.Kind = b.Top.Kind
	return d, nil
}
