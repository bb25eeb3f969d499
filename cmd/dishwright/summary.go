package main

import (
	"io"
	"strings"

	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/picture"
	"dishwright/dish/measure"
)

// page is where text goes that a person reads, in lines of so many characters.
type page struct {
	io.Writer
	width int
}

// textWidth is how wide the text of a page is where no terminal is: it fits any.
const textWidth = 78

// page makes lines of text fit the terminal, if one is there and they stay easy to read.
func (a *app) page(w io.Writer) page {
	return page{w, max(60, min(a.look.Columns(), 120)) - (picture.DefaultWidth - textWidth)}
}

// num writes a number with at most the given decimals.
func num(v float64, decimals int) string { return measure.FormatShort(v, decimals) }

// writeDocument writes a document for a person.
func writeDocument(p page, d document.Document) { d.Text(p, p.width) }

// writeWrapped writes a paragraph, its later lines under the first one's text; a line feed
// before the lead is an empty line before it.
func writeWrapped(p page, lead, text string) {
	lead, spaced := strings.CutPrefix(lead, "\n")
	if spaced {
		writeDocument(p, document.Document{document.Space{}})
	}
	writeDocument(p, document.Document{document.Paragraph{Lead: lead, Text: text}})
}
