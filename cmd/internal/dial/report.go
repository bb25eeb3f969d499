package dial

import (
	"fmt"

	plan "dishwright/cam/dial"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

const (
	stopEvent    = path.Stop
	messageEvent = path.Message
)

// CSVName is the file of the table to fill in.
const CSVName = "readings.csv"

// Report is what a set of readings is. Names end in their unit.
type Report struct {
	Name      string         `json:"name"`
	Form      string         `json:"form"`
	Machine   string         `json:"machine"`
	Units     string         `json:"units"`
	Of        string         `json:"of"`
	Readings  string         `json:"readings"` // the set's sign
	TravelMM  float64        `json:"travel_mm"`
	PressMM   float64        `json:"press_mm"`
	NeedMM    float64        `json:"travel_needed_mm"`
	PressedMM float64        `json:"most_pressed_mm"`
	LevelMM   float64        `json:"level_z_mm"` // in the program's own frame
	ZeroMM    float64        `json:"zero_z_mm"`  // what Z is set to where the tip touches at place 1
	Programs  []Program      `json:"programs"`
	Places    []ReadAt       `json:"places"`
	Before    []string       `json:"before"`
	Assumed   []Part         `json:"assumed_of_the_gauge"`
	Cannot    []measure.Said `json:"cannot_tell"`
	Sheet     string         `json:"sheet,omitempty"`
	OrderFile string         `json:"order_file,omitempty"`
	Table     string         `json:"table,omitempty"`
	Warnings  []work.Warning `json:"warnings"`
	Broken    []measure.Said `json:"broken"`
	Caution   string         `json:"caution"`
}

// Program is the program as it runs.
type Program struct {
	File    string       `json:"file"`
	Purpose work.Purpose `json:"purpose"`
	Lines   int          `json:"lines"`
	Moves   int          `json:"moves"`
	TimeS   float64      `json:"time_s"` // without the time to read
}

// ReadAt is a place, and what the dial shows there of a face as the job has it.
type ReadAt struct {
	Place   int     `json:"place"`
	X       float64 `json:"x_mm"`
	Y       float64 `json:"y_mm"`
	AboutMM float64 `json:"about_mm"`
}

// Part is what the gauge is assumed to be no wider than, below a height over its free tip.
type Part struct {
	RadiusMM float64 `json:"radius_mm"`
	AboveMM  float64 `json:"above_tip_mm"`
}

func (s *Set) report(lines int, pressed float64, findings []proof.Finding) {
	w := &s.Job.Work
	zero := w.ProgramZero()
	s.Report = Report{Name: w.Name, Form: s.Job.Form.Word(), Machine: w.Machine.Name, Units: w.Machine.Unit.String(), Of: s.Plan.Of, Readings: s.ID,
		TravelMM: s.Travel.MM, PressMM: s.Press.MM, NeedMM: plan.Need(s.Plan.Places, s.Press.MM), PressedMM: pressed, LevelMM: s.Plan.Low - zero, ZeroMM: s.Plan.Places[0].Rest - zero,
		Programs: []Program{{s.Name, work.Readings, lines, len(s.Told.Moves), s.seconds()}}, Places: []ReadAt{}, Before: s.Before(),
		Assumed: []Part{{plan.Stem, s.Travel.MM}, {plan.Body, s.Travel.MM + plan.Above}}, Cannot: cannot(s.Plan.Of), Warnings: []work.Warning{}, Broken: []measure.Said{}, Caution: Caution}
	for i, p := range s.Plan.Places {
		s.Report.Places = append(s.Report.Places, ReadAt{i + 1, p.X, p.Y, s.Plan.Pressed(i)})
	}
	for _, f := range findings {
		s.Report.Broken = append(s.Report.Broken, measure.Say("%s:%d:%d: %s: %v", f.Program, f.Line, f.Column, f.Kind, f.Message))
	}
	s.Report.Warnings = append(s.Report.Warnings, s.Job.Warnings...)
	tell.Tidy(&s.Report)
}

// cannot says what readings of the machine that cut cannot tell.
func cannot(of string) []measure.Said {
	switch of {
	case plan.Bed:
		return []measure.Said{measure.Say("whether the bed or the machine's own ways are flat: the bed is told as the machine sees it, which is what its programs cut by"), measure.Say("what lies between the bed and a blank: chips, a board of waste, a blank that is not flat")}
	case plan.Top:
		return []measure.Said{measure.Say("whether the bed or the machine's own ways are flat: the top is told as the machine sees it, which is what its programs want")}
	}
	return []measure.Said{
		measure.Say("the radius: the machine repeats on the dial what its ways did while it cut"),
		measure.Say("the scale of X and Y, and how they lean"),
		measure.Say("how the face lies tilted, and whether the spindle is square"),
		measure.Say("how the gantry sags, and whether the bed is flat"),
	}
}

// better names what tells those.
var better = measure.Say("a straightedge with a depth or feeler gauge, a bar or a spherometer tells the radius (dishwright fit --plan says where); a rule or a calliper, the scales")

// Answer tells the set.
func (s *Set) Answer() document.Document {
	r, u := s.Report, s.Job.Ruler
	d := document.Document{document.Paragraph{Text: fmt.Sprintf("proven: %s read at %s, the gauge is pressed %s at most of its %s, and never moved sideways while it touches",
		s.What(), measure.Count(len(r.Places), "place"), u.Up(r.PressedMM, 2), s.Travel)}, document.Space{}}
	facts := document.Facts{
		{Label: "set", Text: r.Readings + ", the last column of its table"},
		{Label: "zero", Text: fmt.Sprintf("the free tip at place 1, %s: Z%s", u.Place(r.Places[0].X, r.Places[0].Y), u.Short(r.ZeroMM, 3))},
		{Label: "level", Text: fmt.Sprintf("Z%s at every place, so that the dial alone measures", u.Short(r.LevelMM, 3))},
		{Label: "travel", Text: fmt.Sprintf("%s; %s is enough", s.Travel, u.Up(r.NeedMM, 2))},
		{Label: "time", Text: "about " + tell.Clock(r.Programs[0].TimeS) + ", and the time to read"},
		{Label: "assumed", Text: fmt.Sprintf("nothing of the gauge within %s of its tip's axis lower than %s above the free tip, nor within %s lower than %s",
			u.Length(plan.Stem, 1), u.Up(s.Travel.MM, 0), u.Length(plan.Body, 1), u.Up(s.Travel.MM+plan.Above, 0))},
	}
	return append(append(d, facts), notTold(r.Cannot, r.Of, u)...)
}

// notTold lists what readings cannot tell, and what does.
func notTold(list []measure.Said, of string, u measure.Ruler) (d document.Document) {
	d = append(d, document.Heading("what such readings cannot tell"), document.List(measure.Texts(list, u)))
	if of == plan.Face {
		d = append(d, document.Paragraph{Lead: "  hint: ", Text: better.In(u)})
	}
	return d
}

// What says in a few words what is read.
func (s *Set) What() string { return what(s.Plan.Of) }

func what(of string) string {
	return map[string]string{plan.Face: "the face", plan.Top: "the blank's top", plan.Bed: "the bed"}[of]
}
