package job

import (
	"fmt"
	"path/filepath"
	"slices"

	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/measure/strict"
	"dishwright/dish/rim"
)

// boutKeys are the four numbers of an outline.
var boutKeys = []string{"upper bout", "waist", "lower bout", "length"}

// outline reads where the outline comes from.
func (l *rimLoader) outline() {
	m, ok := l.Root.Section("outline")
	if !ok {
		return
	}
	o := &l.rim.Outline
	if m.Word("curve") == "straight" {
		o.Curve = rim.Straight
	}
	var kinds []string
	for _, k := range [...]string{"file", "points", "path", "length"} {
		if m.Has(k) && !(k == "points" && m.Has("length")) { // there they pin the four numbers down
			kinds = append(kinds, k)
		}
	}
	if len(kinds) == 0 && slices.ContainsFunc(boutKeys, m.Has) {
		kinds = []string{"length"} // whichever of the four lack
	}
	if len(kinds) != 1 {
		l.Root.Fault("outline", fmt.Sprintf("the outline is told in %d ways", len(kinds)),
			"one of file, points, path, or the four numbers upper bout, waist, lower bout and length")
		return
	}
	switch kinds[0] {
	case "file":
		o.File = m.Text("file")
		o.Scale = l.scale(m, filepath.Ext(o.File) == ".svg")
	case "points":
		l.points(m)
	case "path":
		o.Path, _ = m.LongText("path", strict.MaxBytes)
		o.Scale = l.scale(m, true)
	case "length":
		l.bouts(m)
	}
	l.unused(m, kinds[0])
}

// unused finds keys that belong to another way of telling the outline.
func (l *rimLoader) unused(m *keys.Section, kind string) {
	for key, of := range map[string]string{"unit": "points", "upper bout": "length", "waist": "length", "lower bout": "length"} {
		if m.Has(key) && of != kind && !(key == "unit" && m.Has("points")) {
			m.FaultAtKey(key, fmt.Sprintf("%s says nothing of an outline from %s", key, kind), "leave it out")
		}
	}
}

// scale reads what a unit of a drawing is, and where its head lies.
func (l *rimLoader) scale(m *keys.Section, drawing bool) float64 {
	if !drawing {
		for _, k := range [...]string{"scale", "head"} {
			if m.Has(k) {
				m.FaultAtKey(k, fmt.Sprintf("%s is for a drawing", k), "a table says its unit in its header: x_mm,y_mm")
			}
		}
		return 1
	}
	if v, ok := m.Value("head"); m.Has("head") && ok {
		if at, ok := l.pair(v, (*strict.Value).Number); ok {
			l.rim.Outline.Head = &at
		}
	}
	m.Require("scale")
	return m.Amount("scale")
}

// points reads the list of points: of lengths, or of numbers in a stated unit.
func (l *rimLoader) points(m *keys.Section) {
	list, ok := m.List("points")
	if !ok {
		return
	}
	read := l.lengthOf
	if m.Has("unit") {
		word := m.Word("unit")
		if word == "" {
			return
		}
		unit, _ := measure.ParseLength("1 " + word)
		l.Inches = l.Inches || unit.Unit.Imperial()
		read = func(v *strict.Value) (float64, bool) {
			n, ok := v.Number()
			return float64(n * unit.MM), ok
		}
	}
	o := &l.rim.Outline
	for _, v := range list {
		if p, ok := l.pair(v, read); ok {
			o.Points, o.At = append(o.Points, p), append(o.At, v.Pos())
		}
	}
}

// bouts reads the four numbers, and the points that they are pinned down at.
func (l *rimLoader) bouts(m *keys.Section) {
	var mm [4]float64
	for i, k := range boutKeys {
		m.Require(k)
		mm[i] = m.Amount(k)
	}
	if m.Has("points") {
		l.points(m)
	}
	l.rim.Outline.Bouts = &rim.Bouts{Upper: mm[0], Waist: mm[1], Lower: mm[2], Length: mm[3], Pins: l.rim.Outline.Points}
}
