package sheet

import (
	"strings"

	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/shop"
	"dishwright/dish/measure"
)

// Of writes the sheet of a job that was taken all the way: a page at the machine for each piece,
// the steps, a page for after.
func Of(r *shop.Result) []byte {
	return document.Sheet{Title: r.Report.Name, Tag: tag(r), Pages: cutPages(r)}.HTML()
}

// cut is one piece of a job that is cut.
type cut struct {
	*shop.Result
	u measure.Ruler
}

// piecesOf are the piece of a job, or the dish and the caul of a pair.
func piecesOf(r *shop.Result) (list []cut) {
	for _, one := range [...]*shop.Result{r, r.Mate} {
		if one != nil {
			list = append(list, cut{one, r.Job.Ruler})
		}
	}
	return list
}

// tag names the radius, the radii of gauges, or the number of a scrap.
func tag(r *shop.Result) string {
	if r.Job.Marks != nil {
		return "scrap " + r.Job.Mark()
	}
	list := []string{r.Job.Radius.String()}
	if len(r.Job.Radii) > 0 {
		list = nil
		for _, v := range r.Job.Radii {
			list = append(list, v.String())
		}
	}
	return "radius " + strings.Join(list, ", ")
}

// cutPages are all pages of a job that is cut.
func cutPages(r *shop.Result) (pages []document.Page) {
	pieces := piecesOf(r)
	for _, c := range pieces {
		pages = append(pages, c.atMachine()...)
	}
	pages = append(pages, document.Fill("Steps", stepGroups(pieces))...)
	for i, c := range pieces {
		pages = append(pages, document.Fill("For after: "+c.Words().Heading(), c.after())...)
		if i == 0 {
			last := &pages[len(pages)-1]
			last.Parts = append(last.Parts, document.Paragraph{Lead: "More:", Text: more})
		}
	}
	return pages
}

// more says where the rest is told.
const more = "dishwright check JOB --full tells all figures; dishwright manual programs (after a stop), covering, sides, fit."

// atMachine is the page that stands at the machine, or as many as it needs: what is certified and
// what can hurt someone, the drawings with what is set by them, the programs.
func (c cut) atMachine() []document.Page {
	caution := c.Report.Caution
	if own := c.Words().Caution(); own != "" {
		caution += " " + own
	}
	var first, drawings document.Document
	if !c.Job.Paired { // of a pair the dish's page says it for both
		first = c.Verdict()
	}
	first = append(append(first, document.Caution(caution)), c.safety()...)
	running := document.Document{c.Running()}
	section, laid := c.Measured(), c.Laid()
	switch {
	case laid != nil:
		drawings = append(document.Document{document.Columns{drawn(section), {c.Setting()}}}, drawn(laid)...)
		running = append(running, c.Fitted())
	case section != nil:
		drawings = append(drawn(section), document.Columns{drawn(c.Blank()), {c.Setting(), c.Fitted()}})
	default:
		drawings = append(drawn(c.Blank()), document.Columns{{c.Setting()}, {c.Fitted()}})
	}
	return document.Fill("At the machine: "+c.Words().Heading(), []document.Document{first, drawings, running})
}

// safety are the warnings of what can hurt someone.
func (c cut) safety() (d document.Document) {
	for _, p := range c.Unsafe() {
		if n, ok := p.(document.Notes); ok {
			d = append(d, n)
		}
	}
	return d
}

// drawn is a figure on the page; nothing of none.
func drawn(list ...*figure.Figure) (d document.Document) {
	for _, f := range list {
		if f != nil {
			d = append(d, document.Figure{Caption: capital(f.Title), Drawing: f})
		}
	}
	return d
}

// capital writes the first letter large.
func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
