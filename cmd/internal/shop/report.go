package shop

import (
	"dishwright/cam/job"
	"dishwright/cam/work"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
)

// Report is what is known of a job's programs. Names end in their unit.
type Report struct {
	Name          string         `json:"name"`
	Form          string         `json:"form"`
	Machine       string         `json:"machine"`
	Units         string         `json:"units"`
	RadiusMM      float64        `json:"radius_mm"`
	CutRadiusMM   float64        `json:"cut_radius_mm"`
	CoveringMM    float64        `json:"covering_mm,omitempty"`            // that the wood is cut for
	UnevenMM      float64        `json:"covering_unevenness_mm,omitempty"` // where it was measured in several places: the most less the least
	DiameterMM    float64        `json:"diameter_mm"`
	BandWidthMM   float64        `json:"band_width_mm,omitempty"` // of a mould's edge
	LengthMM      float64        `json:"length_mm,omitempty"`     // of a board or a gauge
	WidthMM       float64        `json:"width_mm,omitempty"`      // of a board
	OffSphereMM   float64        `json:"off_sphere_mm,omitempty"` // of a cylindrical board, across its width
	SpansMM       float64        `json:"spans_mm,omitempty"`      // of a board: sides so far apart, with its swing
	BendsMM       float64        `json:"bends_mm,omitempty"`      // of a board: under the hand, between such sides
	PlateMM       float64        `json:"plate_mm,omitempty"`      // of a caul: what lies between it and its dish
	RadiiMM       []float64      `json:"radii_mm,omitempty"`      // of a gauge
	SagittaMM     float64        `json:"sagitta_mm"`
	FloorLeftMM   float64        `json:"floor_left_mm"`
	Touch         *Place         `json:"touch,omitempty"`
	Programs      []Program      `json:"programs"`
	Order         []BenchStep    `json:"order"` // what is done before each of them
	Scallop       Scallop        `json:"scallop"`
	Setups        *Setups        `json:"setups,omitempty"`         // of a face that is cut in several
	MachineErrors *MachineErrors `json:"machine_errors,omitempty"` // where the profile states any
	Top           *Top           `json:"top,omitempty"`            // where it was touched off at several places
	Bed           *Bed           `json:"bed,omitempty"`            // of the machine, where its profile has places of it
	Certificate   measure.Said   `json:"certificate"`              // what is certified, for what, and what is left to the controller
	Tilt          Tilt           `json:"tilt"`
	GougeMM       float64        `json:"gouge_mm"`
	CornerMM      float64        `json:"corner_rounding_mm"`
	DeepestBiteMM float64        `json:"deepest_bite_mm"`
	TimeS         float64        `json:"time_s"`
	Chosen        string         `json:"chosen,omitempty"`
	Ways          []Way          `json:"ways,omitempty"`
	Extras        []Extra        `json:"extras"`
	Covering      *Covering      `json:"covering,omitempty"`
	Scrap         *Scrap         `json:"scrap,omitempty"` // of a scrap cut
	Sag           *Sag           `json:"sag,omitempty"`   // of a dish, on what it lies on
	Steps         []Step         `json:"steps"`
	HoldPlaces    []Hold         `json:"hold_places"`
	Shop          string         `json:"shop,omitempty"` // the shop file that was read
	Values        []job.Value    `json:"values"`         // each that counts, and where it comes from
	Defaults      []keys.Default `json:"defaults"`
	Warnings      []work.Warning `json:"warnings"`
	Broken        []measure.Said `json:"broken"`
	Caution       string         `json:"caution"`
	Sheet         string         `json:"sheet,omitempty"`      // the bench sheet's file, of a set that was written
	OrderFile     string         `json:"order_file,omitempty"` // likewise, the list of what is done
	Mate          *Report        `json:"mate,omitempty"`       // of a pair: the caul by itself
}

// Place is a place on the blank's top.
type Place struct {
	X float64 `json:"x_mm"`
	Y float64 `json:"y_mm"`
}

// Hold is a free circle of land.
type Hold struct {
	X      float64 `json:"x_mm"`
	Y      float64 `json:"y_mm"`
	Radius float64 `json:"radius_mm"`
}

// Cutter is the cutter of a program.
type Cutter struct {
	Name       string  `json:"name"`
	Shape      string  `json:"shape"`
	DiameterMM float64 `json:"diameter_mm"`
	CornerMM   float64 `json:"corner_mm"`
}

// Program is one text and what it does.
type Program struct {
	File            string         `json:"file"`
	Piece           string         `json:"piece,omitempty"` // of a pair: dish or caul
	Purpose         string         `json:"purpose"`
	Cutter          Cutter         `json:"cutter"`
	Pattern         measure.Said   `json:"pattern"`
	Passes          int            `json:"passes"`
	Lines           int            `json:"lines"`
	Moves           int            `json:"moves"`
	SpeedRPM        float64        `json:"speed_rpm"` // 0 where nothing turns
	Dial            string         `json:"dial,omitempty"`
	FeedMMMin       float64        `json:"feed_mm_min"`
	ChipLoadMM      float64        `json:"chip_load_mm"`
	CutLengthMM     float64        `json:"cut_length_mm"`
	TraverseLength  float64        `json:"traverse_length_mm"`
	TimeS           float64        `json:"time_s"`
	BiteMM          float64        `json:"bite_mm"`
	DepthOfCutMM    float64        `json:"depth_of_cut_mm"`
	StickOutNeedMM  float64        `json:"stick_out_needed_mm"`
	FluteNeedMM     float64        `json:"flute_length_needed_mm"`
	SteepestIntoDeg float64        `json:"steepest_descent_deg"`
	Limits          []measure.Said `json:"limits"`
	Setup           Setup          `json:"setup"`
}

// Setup is how the blank lies for a program: a place p of the blank, from its middle,
// comes to lie at Rot(turn, counter-clockwise seen from +Z) p + shift.
type Setup struct {
	Name    string  `json:"name"`
	TurnDeg float64 `json:"turn_deg"`
	ShiftX  float64 `json:"shift_x_mm"`
	ShiftY  float64 `json:"shift_y_mm"`
}

// Extra is one volume that is taken out beside the face.
type Extra struct {
	Name       string  `json:"name"`
	Kind       string  `json:"kind"` // hole, line or cut-out
	XMM        float64 `json:"x_mm"`
	YMM        float64 `json:"y_mm"`
	DiameterMM float64 `json:"diameter_mm,omitempty"` // of a hole
	WidthMM    float64 `json:"width_mm,omitempty"`    // of a line, or a cut-out's slot
	DepthMM    float64 `json:"depth_mm"`              // below the blank's top, or of a line below the surface
	Tabs       []Tab   `json:"tabs,omitempty"`
}

// Tab is what holds a cut-out.
type Tab struct {
	XMM      float64 `json:"x_mm"`
	YMM      float64 `json:"y_mm"`
	LengthMM float64 `json:"length_mm"`
	HeightMM float64 `json:"height_mm"`
}

// Scallop is the highest scallop asked for and left, along the face's normal.
type Scallop struct {
	AskedMM     float64      `json:"asked_mm"`
	CertifiedMM float64      `json:"certified_mm"`
	XMM         float64      `json:"x_mm"`
	YMM         float64      `json:"y_mm"`
	TiltMM      float64      `json:"tilt_mm_per_100_mm"` // of the spindle, for up to which it holds
	UndersizeMM float64      `json:"undersize_mm"`       // of the cutters, likewise
	Condition   measure.Said `json:"condition"`          // for which it is certified, in words
}

// Tilt is what of the spindle's tilt was stated, and from where on the passes are no
// longer sure to keep the scallop; nil where no tilt matters.
type Tilt struct {
	StatedMM     float64  `json:"stated_mm_per_100_mm"`
	BreaksFromMM *float64 `json:"breaks_from_mm_per_100_mm"`
}

// Way is one way of doing the work that was weighed.
type Way struct {
	Rough    string       `json:"rough"`
	Finish   string       `json:"finish"`
	Pattern  string       `json:"pattern"`
	TimeS    float64      `json:"time_s"`
	RuledOut measure.Said `json:"ruled_out,omitzero"`
}

// Step is one row of the table stepover, scallop, minutes of the finishing cutter.
type Step struct {
	ScallopMM float64 `json:"scallop_mm"`
	StepMM    float64 `json:"stepover_mm"`
	Passes    int     `json:"passes"`
	LengthMM  float64 `json:"cut_length_mm"`
	Minutes   float64 `json:"minutes"`
	Own       bool    `json:"job"`
}

// takes says how long the finishing takes.
func (s Step) takes() string { return tell.Clock(s.Minutes * 60) }

// WarnIndexError is the kind of a warning of an index error that alone leaves too little
// of the scallop.
const WarnIndexError = "index-error"
