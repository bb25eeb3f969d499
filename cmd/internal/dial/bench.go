package dial

import (
	"bytes"
	"fmt"
	"strings"

	plan "dishwright/cam/dial"
	"dishwright/cam/work"
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/outset"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/post"
)

// Before is what is done before the program is started, as its head has it.
func (s *Set) Before() (list []string) {
	for _, one := range []string{s.still(), s.lay(), s.held(), s.fit(), s.zeroXY(), s.zeroZ(), "Everything off the work and the bed, everyone clear. The power stays off: nothing turns in this program."} {
		if one != "" {
			list = append(list, post.CommentText(fmt.Sprintf("%d: %s", len(list)+1, one)))
		}
	}
	return list
}

func (s *Set) still() string {
	if s.machine().HandRouter() {
		return "The router off, standing still and unplugged, the cutter out of it."
	}
	return "The spindle off and standing still, its power drawn or locked out as the machine's manual says, the cutter out of it."
}

// lay says how the work lies.
func (s *Set) lay() string {
	switch s.Plan.Of {
	case plan.Bed:
		return "The bed empty and clean where the blank will lie, its board of waste on it where there is one."
	case plan.Top:
		return "The blank flat on the bed and held down as it will be cut."
	}
	return fmt.Sprintf("The %s on the bed as it lay when it was cut, dust and chips off it and from under it. Let it lie free first, and hold it no harder than it will be held in use: clamps bend it, and the dial shows that.", s.Job.Form.Word())
}

// held says what may stand about.
func (s *Set) held() string {
	var list []string
	for _, o := range work.Whole(&s.Job.Work).Standing() {
		list = append(list, s.own().XY(o.X, o.Y))
	}
	if len(list) == 0 && s.Plan.Of == plan.Bed {
		return fmt.Sprintf("Nothing stands on the bed, for the job states nothing: the tip passes %s over it.", s.own().Length(s.Plan.Clearance+s.Job.Work.Blank.Thickness, 1))
	}
	if len(list) == 0 {
		return fmt.Sprintf("Nothing stands above the blank's top, for the job states nothing: the tip passes %s over it.", s.own().Length(s.Plan.Clearance, 1))
	}
	return "Hold-downs, and whatever else stands about, at " + strings.Join(list, ", ") + " " + s.own().Unit() + " and nowhere else."
}

// fit says what is assumed of the gauge.
func (s *Set) fit() string {
	own := s.own()
	up := func(v float64) string { return own.Up(s.Travel.MM+v, 0) }
	return fmt.Sprintf("Fit a dial gauge with a travel of %s or more, upright, on a rod in the collet. Hood off. Beside its tip nothing of it hangs lower than %s above the free tip within %s of the tip's axis, nor lower than %s within %s. What it hangs on is not turned until the end.",
		s.Travel, up(0), own.Length(plan.Stem, 1), up(plan.Above), own.Length(plan.Body, 1))
}

// zeroXY says how X0 and Y0 are found: with the gauge's own tip.
func (s *Set) zeroXY() string {
	over := "the crossing of the blank's diagonals"
	if s.Job.Work.Blank.Shape == dish.Round {
		over = "the crossing of two diameters of the blank"
	}
	if s.Plan.Of == plan.Bed {
		over = "the place of the bed where the blank's middle will lie"
	} else if apex := s.Job.Form.Words(s.Job, func(mm float64) string { return s.own().Length(mm, 3) }).Apex(); apex != "" {
		over = apex
	}
	return fmt.Sprintf("X0 and Y0 with the gauge's own tip, wherever it hangs beside the spindle's axis: the tip over %s, to about %s, X and Y set to 0. Set them anew before anything is cut.", over, s.own().Length(1, 1))
}

// zeroZ says how Z is set: the free tip touches at the first place.
func (s *Set) zeroZ() string {
	p, own := s.Plan.Places[0], s.own()
	return fmt.Sprintf("Z at place 1, %s: the tip down by hand until the pointer just moves, there Z set to %s and the dial turned to 0. Then straight up, clear of everything.",
		own.Place(p.X, p.Y), own.Length(p.Rest-s.Job.Work.ProgramZero(), 3))
}

// orderWidth is how wide order.txt is written, in characters.
const orderWidth = 72

// OrderText is the text of order.txt; call is the one that reads the filled table.
func (s *Set) OrderText(call string) []byte {
	var d document.Document
	para := func(lead, text string) { d = append(d, document.Paragraph{Lead: lead, Text: text}) }
	para("", post.CommentText(s.Job.Work.Name)+": readings with a dial gauge, what is done, in this order")
	para("", outset.Mark+" with the program beside it, for "+post.CommentText(s.machine().Name))
	para("", "")
	para("", Caution)
	para("", "")
	para("", "All of it is done before the program is started; at its stops nothing is touched but the pencil. sheet.html has the places and a table for the figures.")
	para("", "")
	para("", "The program: "+s.Name)
	para("", "")
	for _, one := range s.Before() {
		para("[ ] ", one)
	}
	para("", "")
	para("", "Start it. It tells and asks:")
	for _, m := range s.startMessages() {
		para("    ", m)
	}
	para("[ ] ", "Yes: the gauge goes straight up, over place 1 and slowly down, and waits.")
	para("[ ] ", fmt.Sprintf("At each of %s: read the dial and its small hand, write the figure down, go on: the gauge goes straight up and over the next.", measure.Count(len(s.Plan.Places), "place")))
	para("[ ] ", "The figures into "+CSVName+". Then: "+call)
	para("", "")
	para("", "X0, Y0 and Z are those of the gauge now: set all of them anew before anything is cut.")
	var b bytes.Buffer
	d.Text(&b, orderWidth)
	return b.Bytes()
}

// startMessages are those before the program's first stop.
func (s *Set) startMessages() (list []string) {
	for _, e := range s.Told.Events {
		if e.Kind == stopEvent {
			return list
		}
		if e.Kind == messageEvent {
			list = append(list, e.Text)
		}
	}
	return list
}
