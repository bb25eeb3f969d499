package main

import (
	"fmt"

	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/sides"
	"dishwright/dish/measure"
)

// flatFrom says from where on the top is flat.
func (w rimWriter) flatFrom() string {
	f, u := w.p.Flat, w.u
	text := fmt.Sprintf("flat from %s on, falling %s deg, ", u.Length(f.FromMM, 2), f.Falls())
	if f.Blend == nil {
		return text + "cut into the dome"
	}
	return text + "blended over " + u.Length(w.p.Top.BlendMM, 1)
}

// blend is what there is of a blend.
func (w rimWriter) blend() sides.FlatPart {
	if f := w.p.Flat; f != nil && f.Blend != nil {
		return *f.Blend
	}
	return sides.FlatPart{}
}

// flat writes how a top's flat is sanded, and how it meets the dome.
func (w rimWriter) flat() {
	f, u := w.p.Flat, w.u
	if f == nil {
		return
	}
	fmt.Fprintln(w, "\nthe flat: with a flat board, not in the dish")
	var list document.Facts
	list.Add("most comes off", "%s at %s, arc %s", u.Length(f.MostMM, 2), u.Place(f.First.X, f.First.Y), u.Length(f.First.ArcMM, 0))
	list.Add("least comes off", "%s at %s, arc %s", u.Length(f.LeastMM, 2), u.Place(f.Last.X, f.Last.Y), u.Length(f.Last.ArcMM, 0))
	list.Add("along", "%s of the rim, %s of wood", u.Length(f.EdgeMM, 0), u.Volume(f.WoodMM3))
	if f.Blend != nil {
		list.Add("its blend", "%s of the rim, %s of wood", u.Length(f.Blend.EdgeMM, 0), u.Volume(f.Blend.WoodMM3))
	}
	if f.CircleMM > 0 {
		list.Add("meets the dome", "in a circle of radius %s about %s", u.Length(f.CircleMM, 1), u.Place(f.CircleX, w.p.Top.ApexY))
	}
	writeDocument(w.page, document.Document{list})
	for i, text := range measure.Texts(f.Order, u) {
		writeWrapped(w.page, fmt.Sprintf("  %d. ", i+1), text)
	}
}
