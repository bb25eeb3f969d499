package work

const (
	// BiteMargin is kept between the planned bite and the cutter's depth of cut:
	// the proof's height field overstates what stands by up to this much on the
	// slopes of a dish.
	BiteMargin = 0.15
)
