package document

import (
	_ "embed"
	"fmt"
	"html"
	"strings"

	"dishwright/cmd/internal/tell"
)

// Sheet is a document for paper: pages that are printed, with a head each that says of which
// job it is, so that loose pages are not mixed up. On a screen the pages follow each other.
type Sheet struct {
	Title string // the job's name
	Tag   string // what tells its pages from those of another job of that name
	Pages []Page
}

// Page is one page of a sheet.
type Page struct {
	Title string
	Parts Document
}

//go:embed sheet.css
var style string

// mostTitle is the most of a title that is shown.
const mostTitle = 60

// HTML returns the sheet as one file that needs nothing else: no script, no network.
func (s Sheet) HTML() []byte {
	w := &web{}
	s.Title, s.Tag = tell.Plain(s.Title, mostTitle), tell.Plain(s.Tag, mostTitle)
	w.put("<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n<meta name=\"generator\" content=\"made by dishwright\"/>\n"+
		"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<title>%s: bench sheet</title>\n", s.Title)
	w.WriteString("<style>\n" + style + "</style>\n</head>\n<body>\n<main>\n")
	for i, p := range s.Pages {
		name := "p"
		if i == 0 {
			name = "h1"
		}
		id := fmt.Sprintf("page%d", i+1)
		w.put("<section class=\"page\" aria-labelledby=\"%s\">\n<header>\n<"+name+" class=\"job\" dir=\"auto\">%s</"+name+">\n", id, s.Title)
		w.put("<p>%s, page %s of %s</p>\n</header>\n<h2 id=\"%s\">%s</h2>\n", s.Tag, fmt.Sprint(i+1), fmt.Sprint(len(s.Pages)), id, p.Title)
		w.parts(p.Parts)
		w.WriteString("</section>\n")
	}
	w.WriteString("</main>\n</body>\n</html>\n")
	return []byte(w.String())
}

// web is HTML in the making.
type web struct {
	strings.Builder
	drawn int // figures so far
}

// mostText is the most of one text that is shown: no sentence of ours is longer, and a name of
// thousands of letters is cut off.
const mostText = 900

// put writes a form with texts in it, each made plain and harmless.
func (w *web) put(form string, texts ...string) {
	safe := make([]any, len(texts))
	for i, t := range texts {
		safe[i] = html.EscapeString(tell.Plain(t, mostText))
	}
	fmt.Fprintf(w, form, safe...)
}

func (w *web) parts(d Document) {
	for _, p := range d {
		p.html(w)
	}
}

func (Space) html(*web) {}

func (h Heading) html(w *web) { w.put("<h3 dir=\"auto\">%s</h3>\n", string(h)) }

func (p Paragraph) html(w *web) {
	if lead := strings.TrimSpace(p.Lead); lead != "" {
		w.put("<p dir=\"auto\"><b>%s</b> %s</p>\n", lead, p.Text)
		return
	}
	w.put("<p dir=\"auto\">%s</p>\n", p.Text)
}

func (c Caution) html(w *web) { w.put("<p class=\"caution\">%s</p>\n", string(c)) }

func (f Facts) html(w *web) {
	w.WriteString("<dl>\n")
	for _, one := range f {
		w.put("<div><dt>%s</dt><dd dir=\"auto\">%s</dd></div>\n", one.Label, one.Text)
	}
	w.WriteString("</dl>\n")
}

func (t Table) html(w *web) {
	var class []string
	if t.Words {
		class = append(class, "words")
	}
	if t.Write {
		class = append(class, "write")
	}
	attribute := ""
	if len(class) > 0 {
		attribute = ` class="` + strings.Join(class, " ") + `"`
	}
	w.put("<table"+attribute+">\n<caption>%s</caption>\n<thead>\n<tr>", t.Caption)
	for _, h := range t.Head {
		w.put("<th scope=\"col\">%s</th>", h)
	}
	w.WriteString("</tr>\n</thead>\n<tbody>\n")
	for _, row := range t.Rows {
		w.WriteString("<tr>")
		for _, cell := range row {
			w.put("<td dir=\"auto\">%s</td>", cell)
		}
		w.WriteString("</tr>\n")
	}
	w.WriteString("</tbody>\n</table>\n")
}

func (n Notes) html(w *web) {
	var list List
	for _, one := range n.List {
		text := one.Message
		if one.Hint != "" {
			text += ": " + one.Hint
		}
		list = append(list, text)
	}
	list.html(w)
}

func (l List) html(w *web) {
	w.WriteString("<ul>\n")
	for _, one := range l {
		w.put("<li dir=\"auto\">%s</li>\n", one)
	}
	w.WriteString("</ul>\n")
}

func (s Steps) html(w *web) {
	w.WriteString("<ol>\n")
	for _, one := range s {
		w.put("<li dir=\"auto\">%s", one.Text)
		if one.Care != "" {
			w.put(" <b>%s</b>", one.Care)
		}
		w.WriteString("</li>\n")
	}
	w.WriteString("</ol>\n")
}

func (f Figure) html(w *web) {
	w.drawn++
	w.put("<figure>\n<figcaption>%s</figcaption>\n", f.Caption)
	w.Write(f.SVG(fmt.Sprintf("f%d", w.drawn), false)) // a drawing of ours, its texts escaped
	w.WriteString("</figure>\n")
}

func (c Columns) html(w *web) {
	w.WriteString("<div class=\"columns\">\n")
	for _, d := range c {
		w.WriteString("<div>\n")
		w.parts(d)
		w.WriteString("</div>\n")
	}
	w.WriteString("</div>\n")
}
