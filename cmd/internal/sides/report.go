package sides

import (
	"dishwright/cam/job"
	"dishwright/cam/work"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
)

// Value is a value that counts, and where it comes from.
type Value = job.Value

// Report is what is known of a rim. Names end in their unit; arcs are measured
// along the outside of the sides from the tail, counter-clockwise seen from above.
type Report struct {
	Name        string         `json:"name"`
	Form        string         `json:"form"`
	Units       string         `json:"units"`
	LengthMM    float64        `json:"length_mm"`
	PerimeterMM float64        `json:"perimeter_mm"`
	MidMM       float64        `json:"perimeter_mid_thickness_mm"`
	Top         Dome           `json:"top"`
	Back        Dome           `json:"back"`
	Depth       Ends           `json:"depth"`
	Guess       *Guess         `json:"guess,omitempty"` // of an outline told by four widths
	StepMM      float64        `json:"step_mm"`
	EdgeMM      float64        `json:"edge_width_mm"`
	Stations    []Station      `json:"stations"`
	Places      []Station      `json:"places"`
	Highest     Station        `json:"highest"`
	Lowest      Station        `json:"lowest"`
	Narrowest   Station        `json:"narrowest"`
	Widest      Station        `json:"widest"`
	Side        Side           `json:"side"`
	Saw         *Saw           `json:"saw,omitempty"` // of a rim that stands higher before sanding than it is to
	Sanding     Sanding        `json:"sanding"`
	Flat        *Flat          `json:"flat,omitempty"` // of a top that is kept flat from a place on
	Attitude    *Attitude      `json:"attitude,omitempty"`
	Log         *Log           `json:"log,omitempty"`
	Tilt        Tilt           `json:"tilt"`
	Tool        Tool           `json:"tool"`
	Blocks      []Block        `json:"blocks"`
	Notches     []Notch        `json:"notches"`
	Braces      []Brace        `json:"braces"`
	Lining      Lining         `json:"lining"`
	Dry         *Dry           `json:"dry_fit,omitempty"`
	Clamps      Clamps         `json:"clamps"`
	Shop        string         `json:"shop,omitempty"` // the shop file that was read
	Values      []Value        `json:"values"`         // each that counts, and where it comes from
	Defaults    []keys.Default `json:"defaults"`
	Warnings    []work.Warning `json:"warnings"`
	Broken      []measure.Said `json:"broken"`
	Caution     string         `json:"caution"`
}

// Dome is the face of a plate.
type Dome struct {
	Shape      string  `json:"shape"`
	RadiusMM   float64 `json:"radius_mm,omitempty"`
	ApexX      float64 `json:"apex_x_mm"`
	ApexY      float64 `json:"apex_y_mm"`
	ApexZ      float64 `json:"apex_z_mm"`
	LeanDeg    float64 `json:"lean_deg"`
	FlatFromMM float64 `json:"flat_from_mm,omitempty"`
	BlendMM    float64 `json:"blend_mm,omitempty"`
	FallHead   float64 `json:"fall_head_mm"` // on the centre line, from the apex
	FallTail   float64 `json:"fall_tail_mm"`
}

// Ends are widths of the side on the centre line.
type Ends struct {
	Head float64 `json:"head_mm"`
	Tail float64 `json:"tail_mm"`
}

// Station is a place of the rim.
type Station struct {
	Name       string  `json:"name,omitempty"`
	ArcMM      float64 `json:"arc_mm"`
	X          float64 `json:"x_mm"`
	Y          float64 `json:"y_mm"`
	TopZ       float64 `json:"top_z_mm"`
	TopInnerZ  float64 `json:"top_inner_z_mm"`
	BackZ      float64 `json:"back_z_mm"`
	BackInnerZ float64 `json:"back_inner_z_mm"`
	WidthMM    float64 `json:"side_width_mm"`
	SlopeDeg   float64 `json:"top_slope_deg"`
	BackSlope  float64 `json:"back_slope_deg"`
	Steepest   float64 `json:"top_steepest_deg"`
	RemoveMM   float64 `json:"remove_mm"`
	BackRemove float64 `json:"back_remove_mm"`
	GapLevel   float64 `json:"gap_level_mm"`
	GapRocked  float64 `json:"gap_rocked_mm"`
	Zone       string  `json:"zone"`   // dome, blend or flat
	Saw        float64 `json:"saw_mm"` // how much of remove_mm is sawn or planed off before sanding
	BackSaw    float64 `json:"back_saw_mm"`
}

// Side is the sides as they are bought and bent.
type Side struct {
	BlankWidthMM  float64  `json:"blank_width_mm"`
	BlankLengthMM float64  `json:"blank_length_mm"`
	BlankLeanDeg  float64  `json:"blank_lean_deg"`
	ThicknessMM   float64  `json:"thickness_mm"`
	AllowanceMM   float64  `json:"allowance_mm"`
	TrimHeadMM    float64  `json:"trim_head_mm"`
	TrimTailMM    float64  `json:"trim_tail_mm"`
	Halves        []Halved `json:"halves"`
}

// Halved is one side unrolled.
type Halved struct {
	Side    string   `json:"side"`
	Outside float64  `json:"outside_mm"`
	Mid     float64  `json:"mid_thickness_mm"`
	Edges   []Edging `json:"edges"`
}

// Edging is one place of an unrolled side.
type Edging struct {
	Along float64 `json:"along_mm"`
	Mid   float64 `json:"along_mid_thickness_mm"`
	Upper float64 `json:"upper_z_mm"`
	Lower float64 `json:"lower_z_mm"`
	Name  string  `json:"name,omitempty"`
}

// Sanding is how the top's edge comes down in the dish, where it is domed.
type Sanding struct {
	Start     measure.Said `json:"start"`
	MostMM    float64      `json:"most_mm"`
	LeastMM   float64      `json:"least_mm"`
	First     Station      `json:"first_touch"`
	Last      Station      `json:"last_mark"`
	Steps     []Lowered    `json:"steps"`
	WoodMM3   float64      `json:"wood_mm3"`
	MissingMM float64      `json:"missing_along_mm"`
}

// Lowered is a state of sanding.
type Lowered struct {
	ByMM    float64 `json:"lowered_mm"`
	Touched float64 `json:"touched_share"`
	Gone    float64 `json:"gone_share"`
}

// Attitude compares the widths measured so far with what they shall be.
type Attitude struct {
	Left     []LeftOver `json:"places"`
	MeanMM   float64    `json:"mean_mm"`
	PitchDeg float64    `json:"pitch_deg"`
	RollDeg  float64    `json:"roll_deg"`
	ApexX    float64    `json:"apex_shift_x_mm"`
	ApexY    float64    `json:"apex_shift_y_mm"`
	Press    string     `json:"press"`
	PressMM  float64    `json:"press_mm"`
}

// LeftOver is what is still too much at a place.
type LeftOver struct {
	Name     string  `json:"name"`
	Has      float64 `json:"measured_mm"`
	Wanted   float64 `json:"wanted_mm"`   // with what is still on the back's edge once it is sawn
	Finished float64 `json:"finished_mm"` // with both edges sanded
	TooMMM   float64 `json:"too_much_mm"`
}

// Tilt is what a rim does that lies tilted in its dish by a tenth of a degree.
type Tilt struct {
	AngleDeg  float64 `json:"angle_deg"`
	ApexShift float64 `json:"apex_shift_mm"`
	EndsMM    float64 `json:"ends_mm"` // how much the head and the tail then differ from their depths, each its own way
}

// Block is a block under the straightedge, and how it is sawn.
type Block struct {
	Name        string  `json:"name"`
	ThicknessMM float64 `json:"thickness_mm"`
	GapBothMM   float64 `json:"gap_both_mm"`
	GapLevelMM  float64 `json:"gap_level_mm"`
	GapRockedMM float64 `json:"gap_rocked_mm"`
	OuterMM     float64 `json:"outer_height_mm"`
	InnerMM     float64 `json:"inner_height_mm"`
	TopBevel    float64 `json:"top_bevel_deg"`
	BackBevel   float64 `json:"back_bevel_deg"`
}

// Notch is where a brace is let into the lining.
type Notch struct {
	Brace    string  `json:"brace"`
	Side     string  `json:"side"`
	ArcMM    float64 `json:"arc_mm"`
	InnerMM  float64 `json:"lining_arc_mm"` // at the lining's inner edge, measured along the outside
	X        float64 `json:"x_mm"`
	Y        float64 `json:"y_mm"`
	AngleDeg float64 `json:"angle_deg"`
	WidthMM  float64 `json:"width_mm"`
	DepthMM  float64 `json:"depth_mm"`
	PieceMM  Piece   `json:"piece"`
}

// Piece is the lining that is put back over a brace's end.
type Piece struct {
	Length float64 `json:"length_mm"`
	Width  float64 `json:"width_mm"`
	Height float64 `json:"height_mm"`
}

// Brace is a brace's own arc.
type Brace struct {
	Name     string  `json:"name"`
	LengthMM float64 `json:"length_mm"`
	RadiusMM float64 `json:"radius_mm"`
	// Heights of its edge above the line between its ends, evenly along it.
	HeightsMM []float64 `json:"heights_mm"`
}

// Lining is how much lining is needed.
type Lining struct {
	WidthMM  float64 `json:"width_mm"`
	HeightMM float64 `json:"height_mm"`
	LengthMM float64 `json:"length_mm"` // once round the inside of the sides, blocks not taken off
}

// Dry is how the plate lies on the rim before the glue.
type Dry struct {
	RadiusMM  float64 `json:"plate_radius_mm,omitempty"` // left out for a flat plate
	LargestMM float64 `json:"largest_gap_mm"`
	MeanMM    float64 `json:"mean_gap_mm"`
	Rests     []Gap   `json:"rests_on"`
	Openings  []Gap   `json:"openings"`
	Gaps      []Gap   `json:"gaps"`
}

// Gap is a gap at a place.
type Gap struct {
	ArcMM float64 `json:"arc_mm"`
	X     float64 `json:"x_mm"`
	Y     float64 `json:"y_mm"`
	GapMM float64 `json:"gap_mm"`
}

// Clamps is how many clamps and how long they take.
type Clamps struct {
	SpacingMM float64 `json:"spacing_mm"`
	Count     int     `json:"count"`
	TimeS     float64 `json:"time_s"`
	OpenTimeS float64 `json:"open_time_s,omitempty"`
}
