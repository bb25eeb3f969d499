package main

import (
	"fmt"

	"dishwright/cmd/internal/document"
)

// saw writes what is sawn or planed off before the rim is sanded.
func (w rimWriter) saw() {
	s, u := w.p.Saw, w.u
	writeWrapped(w.page, "\nsaw or plane first: ", fmt.Sprintf("the rim is %s; down to a line %s outside the finished edge", w.p.Sanding.Start.In(u), u.Length(s.ToMM, 2)))
	var list document.Facts
	list.Add("off the top", "up to %s at %s, arc %s", u.Length(s.MostMM, 2), u.Place(s.Most.X, s.Most.Y), u.Length(s.Most.ArcMM, 0))
	list.Add("", "along %s of the rim, %s of sides and lining", u.Length(s.AlongMM, 0), u.Volume(s.WoodMM3))
	if s.BackMM >= 0.005 {
		list.Add("off the back", "up to %s", u.Length(s.BackMM, 2))
	}
	writeDocument(w.page, document.Document{list})
}
