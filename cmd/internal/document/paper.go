package document

// A page holds so many lines of a text so wide, as far as fonts agree: what is left of letter
// paper, the shorter one, between its margins and under the page's head.
const (
	pageLines = 57
	pageWidth = 120
)

// What a line of text on paper is, and how much of a page's width and height a drawing takes at
// most, mm; they are those of sheet.css.
const (
	lineMM    = 4.23 // 9.5 pt, as high as browsers set it
	paperMM   = 192.0
	tallestMM = 92.0
)

// Room around parts, in lines: after each, and around every row of what has rows.
const (
	after  = 0.4
	around = 0.3
	write  = 1.0 // where there is room to write
)

// tall is about how many lines of a text so wide the parts take on paper.
func (d Document) tall(width int) (n float64) {
	for _, p := range d {
		n += onPaper(p, width) + after
	}
	return n
}

// onPaper is about how many lines a part takes where so many characters stand beside each other.
func onPaper(p Part, width int) float64 {
	rows := 0
	switch p := p.(type) {
	case Columns:
		tallest := 0.0
		for _, d := range p {
			tallest = max(tallest, d.tall(width/len(p)-2))
		}
		return tallest
	case Figure:
		wide, high := p.Size()
		return 1 + min(tallestMM, high/wide*paperMM*float64(width)/pageWidth)/lineMM
	case Heading:
		return 1.4
	case Caution:
		return float64(len(p.lines(width*9/10))) + 1 // bold, in a frame
	case Steps:
		rows = len(p)
	case Facts:
		rows = len(p)
	case Table:
		if rows = len(p.Rows); p.Write {
			return float64(len(p.lines(width))) + write*float64(rows)
		}
	}
	return float64(len(p.lines(width))) + around*float64(rows)
}

// Fill lays groups of parts on as few pages as they need, in their order, each group whole.
func Fill(title string, groups []Document) (pages []Page) {
	left := 0.0
	for _, g := range groups {
		need := g.tall(pageWidth)
		if need > left {
			name := title
			if len(pages) > 0 {
				name += ", continued"
			}
			pages, left = append(pages, Page{Title: name}), pageLines
		}
		last := &pages[len(pages)-1]
		last.Parts = append(last.Parts, g...)
		left -= need
	}
	return pages
}
