package sheet

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"

	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/tell"
)

// page is a sheet before it is written.
type page struct {
	Title   string
	What    string // under the title
	Facts   []fact // of the title block
	Caution string
	Parts   []part
	Foot    string

	drawn int // figures so far
}

// fact is a figure with its name.
type fact struct{ Name, Value string }

// part is a numbered section of the sheet.
type part struct {
	Number int
	Head   string
	Blocks []block
}

// block is a piece of a part; the fields that are not empty are shown, in this order.
type block struct {
	Sub     string   // a heading
	Texts   []string // paragraphs
	Caution string
	Facts   []fact
	Figures []picture
	Table   *table
	List    []string
	Steps   []step
}

// step is one line of a checklist, with what it needs care for.
type step struct{ Text, Caution string }

// table has a caption, for those who do not see it too.
type table struct {
	Caption string
	Head    []string
	Rows    [][]string
}

// picture is a figure as it stands on the page.
type picture struct {
	Caption string
	SVG     template.HTML
	Wide    bool
}

//go:embed sheet.tmpl.html
var source string

// layout is the page's form. html/template escapes every text for its place.
var layout = template.Must(template.New("sheet").Funcs(template.FuncMap{"plain": func(s string) string { return tell.Plain(s, mostText) }}).Parse(source))

// mostText is the most of one text that is shown: no sentence of ours is longer, and a
// name of thousands of letters is cut off.
const mostText = 600

// mostName is the most of a name that is shown.
const mostName = 120

// write returns the page's bytes.
func (p *page) write() ([]byte, error) {
	p.Title = tell.Plain(p.Title, mostName)
	for i := range p.Parts {
		p.Parts[i].Number = i + 1
	}
	var b bytes.Buffer
	if err := layout.Execute(&b, p); err != nil {
		return nil, fmt.Errorf("the sheet cannot be written: %w", err)
	}
	return b.Bytes(), nil
}

// add appends a part, if there is anything in it.
func (p *page) add(head string, blocks ...block) {
	if len(blocks) > 0 {
		p.Parts = append(p.Parts, part{Head: head, Blocks: blocks})
	}
}

// show puts figures on the page; their titles become the captions.
func (p *page) show(figures ...*figure.Figure) (list []picture) {
	for _, f := range figures {
		if f == nil {
			continue
		}
		p.drawn++
		list = append(list, picture{Caption: f.Title, SVG: template.HTML(f.SVG(fmt.Sprintf("f%d", p.drawn), false))}) // our own drawing, its texts escaped
	}
	return list
}
