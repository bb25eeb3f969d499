package main

import (
	"io"
	"strings"

	"dishwright/cmd/internal/document"
	"dishwright/dish/measure"
)

// textWidth is how wide running text is written: it fits any terminal.
const textWidth = 78

// num writes a number with at most the given decimals.
func num(v float64, decimals int) string { return measure.FormatShort(v, decimals) }

// writeDocument writes a document for a person.
func writeDocument(w io.Writer, d document.Document) { d.Text(w, textWidth) }

// writeWrapped writes a paragraph, its later lines under the first one's text; a line feed
// before the lead is an empty line before it.
func writeWrapped(w io.Writer, lead, text string) {
	lead, spaced := strings.CutPrefix(lead, "\n")
	if spaced {
		writeDocument(w, document.Document{document.Space{}})
	}
	writeDocument(w, document.Document{document.Paragraph{Lead: lead, Text: text}})
}
