package shop

import (
	"fmt"
	"strings"

	"dishwright/cmd/internal/outset"
	"dishwright/post"
)

// orderWidth is how wide order.txt is written, in characters.
const orderWidth = 72

// OrderText is the text of order.txt: all that is done for the programs of a set, to be
// followed line by line, in plain ASCII.
func (r *Result) OrderText() []byte {
	var b strings.Builder
	para := func(lead, text string) {
		line := lead
		for i, word := range strings.Fields(text) {
			if i > 0 && len(line)+1+len(word) > orderWidth {
				b.WriteString(line + "\n")
				line = strings.Repeat(" ", len(lead)) + word
				continue
			}
			if i > 0 {
				line += " "
			}
			line += word
		}
		b.WriteString(line + "\n")
	}
	para("", post.CommentText(r.Report.Name)+": what is done, in this order")
	para("", outset.Mark+" with the programs beside it, for "+post.CommentText(r.Report.Machine))
	b.WriteString("\n")
	para("", r.Report.Caution)
	b.WriteString("\n")
	para("", "[ ] is to be done. [=] is as it was for the program before: look again that it is. All of it is done before the program is started; at its stop nothing is laid, touched off or changed. sheet.html has drawings, times and what to measure.")
	var before *BenchStep
	for i := range r.Report.Order {
		s := &r.Report.Order[i]
		b.WriteString("\n" + strings.Repeat("-", orderWidth) + "\n")
		piece := ""
		if s.Piece != "" {
			piece = " of the " + s.Piece
		}
		para("", fmt.Sprintf("Program %d of %d%s: %s", s.Program, len(r.Report.Order), piece, s.File))
		para("", fmt.Sprintf("(%s with %s)", s.Purpose, post.CommentText(s.Cutter)))
		b.WriteString("\n")
		for _, one := range s.Sentences(before) {
			lead := "[ ]"
			if !one.Again {
				lead = "[=]"
			}
			para(fmt.Sprintf("%s %2d: ", lead, one.Number), one.Text)
		}
		b.WriteString("\n")
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
	b.WriteString("\n" + strings.Repeat("-", orderWidth) + "\n")
	para("", "That is all of them. sheet.html says how the piece is measured.")
	return []byte(b.String())
}
