package main

import (
	"fmt"
	"io"
)

// saw writes what is sawn or planed off before the rim is sanded.
func (w rimWriter) saw() {
	s, u := w.p.Saw, w.u
	writeWrapped(w.page, "\nsaw or plane first: ", fmt.Sprintf("the rim is %s; down to a line %s outside the finished edge", w.p.Sanding.Start.In(u), u.Length(s.ToMM, 2)))
	w.table(0, func(t io.Writer) {
		fmt.Fprintf(t, "  off the top\tup to %s at %s, arc %s\n", u.Length(s.MostMM, 2), u.Place(s.Most.X, s.Most.Y), u.Length(s.Most.ArcMM, 0))
		fmt.Fprintf(t, "  \talong %s of the rim, %s of sides and lining\n", u.Length(s.AlongMM, 0), u.Volume(s.WoodMM3))
		if s.BackMM >= 0.005 {
			fmt.Fprintf(t, "  off the back\tup to %s\n", u.Length(s.BackMM, 2))
		}
	})
}
