package dial

import (
	"regexp"
	"strings"

	plan "dishwright/cam/dial"
	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/dish/measure"
)

// Claim is what a program says of itself that sets a gauge down.
type Claim struct {
	Asked
	Piece string
	At    path.Source
	Clear bool // can it be made out?
}

var statesPattern = regexp.MustCompile(`(?i)^readings:\s*(face|top|bed), travel ([^,]+), press ([^,]+)$`)

// ClaimOf returns what a program says; false where it is none for a gauge.
func ClaimOf(p path.Path) (c Claim, ok bool) {
	for _, e := range p.Events {
		if e.Kind != path.Comment {
			continue
		}
		key, rest, _ := strings.Cut(e.Text, ":")
		switch {
		case strings.EqualFold(strings.TrimSpace(key), "piece"):
			c.Piece = strings.ToLower(strings.TrimSpace(rest))
		case strings.EqualFold(strings.TrimSpace(key), "readings") && !ok:
			ok, c.At = true, e.Source
			m := statesPattern.FindStringSubmatch(e.Text)
			if m == nil {
				continue
			}
			travel, err := measure.ParseLength(m[2])
			press, wrong := measure.ParseLength(m[3])
			c.Of, c.Travel, c.Press = strings.ToLower(m[1]), travel, press
			c.Clear = err == nil && wrong == nil && c.known()
		}
	}
	return c, ok
}

// The bounds of a gauge's travel and of its press, mm: more than any gauge of the trade has, and
// from what is surely above the error of setting a zero by eye.
const (
	LeastTravel, MostTravel = 1.0, 100.0
	LeastPress, MostPress   = 0.3, 5.0
)

// Make makes the readings that a program claims to be, of the job or of the piece of a pair.
func (c Claim) Make(j job.Job) (*Set, error) {
	if j.Mate != nil && c.Piece == "caul" {
		j = *j.Mate
	}
	return Make(j, c.Asked)
}

// Piece returns the piece of a pair that is read, the dish where nothing is said; false where a
// job has none of that name.
func Piece(j job.Job, word string) (job.Job, bool) {
	switch {
	case word == "" || j.Mate != nil && word == "dish":
		return j, true
	case j.Mate != nil && word == "caul":
		return *j.Mate, true
	}
	return j, false
}

// Whats are what may be read.
func Whats() []string { return []string{plan.Face, plan.Top, plan.Bed} }

// UsualPress is how far a gauge is pressed at the lowest place where nothing is said: far more
// than a zero set by eye is off by.
func UsualPress(u measure.Ruler) measure.Length {
	if u.Inches {
		return measure.Length{MM: 0.04 * measure.Inch.MM(), Unit: measure.Inch}
	}
	return measure.Length{MM: 1}
}
