package shop

import (
	"bytes"
	"fmt"
	"strings"

	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/outset"
	"dishwright/post"
)

// orderWidth is how wide order.txt is written, in characters.
const orderWidth = 72

// OrderText is the text of order.txt: all that is done for the programs of a set, to be
// followed line by line, in plain ASCII.
func (r *Result) OrderText() []byte {
	var d document.Document
	para := func(lead, text string) { d = append(d, document.Paragraph{Lead: lead, Text: text}) }
	para("", post.CommentText(r.Report.Name)+": what is done, in this order")
	para("", outset.Mark+" with the programs beside it, for "+post.CommentText(r.Report.Machine))
	para("", "")
	para("", r.Report.Caution)
	para("", "")
	para("", "[ ] is to be done. [=] is as it was for the program before: look again that it is. All of it is done before the program is started; at its stop nothing is laid, touched off or changed. sheet.html has drawings, times and what to measure.")
	var before *BenchStep
	for i := range r.Report.Order {
		s := &r.Report.Order[i]
		para("", "")
		para("", strings.Repeat("-", orderWidth))
		piece := ""
		if s.Piece != "" {
			piece = " of the " + s.Piece
		}
		para("", fmt.Sprintf("Program %d of %d%s: %s", s.Program, len(r.Report.Order), piece, s.File))
		para("", fmt.Sprintf("(%s with %s)", s.Purpose, post.CommentText(s.Cutter)))
		para("", "")
		for _, one := range s.Sentences(before) {
			lead := "[ ]"
			if !one.Again {
				lead = "[=]"
			}
			para(fmt.Sprintf("%s %2d: ", lead, one.Number), one.Text)
		}
		para("", "")
		for k, a := range s.Answers {
			if k == 0 {
				para("", "Start it. It tells, stops and asks:")
			} else {
				para("", "It tells, stops and asks:")
			}
			for _, m := range a.Told {
				para("    ", m)
			}
			para("    ", a.Message)
			para("[ ] ", "Yes: "+a.Yes+".")
		}
		before = s
	}
	para("", "")
	para("", strings.Repeat("-", orderWidth))
	para("", "That is all of them. sheet.html says how the piece is measured.")
	var b bytes.Buffer
	d.Text(&b, orderWidth)
	return b.Bytes()
}
