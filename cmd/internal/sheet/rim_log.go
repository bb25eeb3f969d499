package sheet

import (
	"fmt"

	"dishwright/cmd/internal/document"
)

// The cautions of sanding by hand.
const (
	careSanding = "The finest dust of all: a fitting dust mask, extraction or a vacuum at the dish, fresh air; let the air settle before the mask comes off. Vacuum, do not sweep or blow."
	carePower   = "Where a tool drives the dish or the rim: eye and ear protection, no gloves or loose sleeves, and its maker's manual first. Dust and finishes burn: no spark or flame near them, the dust bag emptied outdoors."
)

// logRows are the rounds that a page of the log has room for; of those that were read as many
// of the last stand on it as leave half of it free.
const logRows = 14

// The log's page, and its rows of widths to stop at.
const (
	logTitle = "The log of widths"
	rowDone  = "done"
	rowFirst = "top first"
)

// backLeft is the most that the back's edge still has at the named places while the top's is
// sanded, mm; 0 where that is less than the table tells.
func (d rim) backLeft() (most float64) {
	for _, s := range d.p.Places {
		most = max(most, s.BackLeft())
	}
	if most < 0.005 {
		return 0
	}
	return most
}

// rowOfLog names the row of the log's page at which the sanding stops.
func (d rim) rowOfLog() string {
	row := rowDone
	if d.backLeft() > 0 {
		row = rowFirst
	}
	return fmt.Sprintf(": the row %q of the page %q", row, logTitle)
}

// stopColumn adds to the table of the places at which widths the top's edge is done while the
// back's is not sanded; nothing where that has nothing to come off.
func (d rim) stopColumn(t *document.Table) {
	if d.backLeft() == 0 {
		return
	}
	t.Head = append(t.Head, rowFirst)
	for i, s := range d.Measured() {
		t.Rows[i] = append(t.Rows[i], d.u.Mark(s.WidthMM+s.BackLeft(), 2))
	}
	t.Caption += "; \"" + rowFirst + "\": to stop at while the back is not sanded"
}

// log is a page to write the widths on, round by round; those that were read stand on it.
func (d rim) log() document.Document {
	u, l := d.u, d.p.Log
	t := document.Table{Caption: "widths of the side at its outside, " + u.Unit(), Head: []string{"round"}, Write: true}
	finished, first, left := []string{rowDone}, []string{rowFirst}, d.backLeft()
	for _, s := range d.p.Places {
		t.Head = append(t.Head, s.Name)
		finished, first = append(finished, u.Mark(s.WidthMM, 2)), append(first, u.Mark(s.WidthMM+s.BackLeft(), 2))
	}
	t.Rows = append(t.Rows, finished)
	unsanded := left > 0
	if unsanded {
		t.Rows = append(t.Rows, first)
	}
	read := d.LogRows()
	read = read[max(0, len(read)-logRows/2):]
	for len(read) < logRows {
		read = append(read, make([]string, len(t.Head)))
	}
	if l == nil {
		read[0][0] = "0"
	}
	t.Rows = append(t.Rows, read...)
	text := document.Steps{
		{Text: "Mark the places on the side, and measure each where it is marked, from edge to edge, square to both. Round 0 is before sanding."},
		{Text: "As many strokes in each round; measure all places after it. A width that grew was misread."},
	}
	if unsanded {
		text = append(text, document.Step{Text: fmt.Sprintf("While the back's edge is not sanded, the top's is done at the widths of the row \""+rowFirst+"\": up to %s are still on the back.", u.Length(left, 2))})
	}
	text = append(text,
		document.Step{Text: "Two rounds tell the pace, a third how sure it is: copy the rows into the file log.csv that dishwright rim JOB -o DIR writes, under a name of your own, and dishwright rim JOB --log FILE tells how many rounds are left, where to press, and when to stop."},
		document.Step{Text: "Stop pressing where a place has its width; stop when all of them have. What is off is off: where a width is too low the manual's topic sides says what can be done."})
	parts := document.Document{}
	if l != nil {
		parts = append(parts, document.Paragraph{Text: capital(l.Verdict.In(u)) + "."})
	}
	return append(append(parts, t), practised("Keeping the log", true, text)...)
}
