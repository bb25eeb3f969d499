package main

import (
	"io"

	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/outset"
	"dishwright/cmd/internal/picture"
	"dishwright/cmd/internal/sides"
	"dishwright/cmd/internal/tell"
)

// pixels of a picture in a millimetre of its drawing: 254 in an inch.
const pixels = 10

// pictureFiles are where a preview is drawn instead of as text.
type pictureFiles struct {
	svg, png string
	force    bool
}

func (p pictureFiles) any() bool { return p.svg != "" || p.png != "" }

// drawRim draws the sanding of a rim, as text or into files.
func (a *app) drawRim(r *sides.Result, look picture.Look, to pictureFiles) error {
	if to.any() {
		return a.writePictures(to, tell.Plain(r.Job.Name, 120), r.Pictures(figure.Page))
	}
	for _, f := range r.Pictures(figure.SizeOf(look, 36)) {
		io.WriteString(a.drawn(), "\n"+f.Characters(look))
	}
	return nil
}

// writePictures writes the drawings under one another.
func (a *app) writePictures(to pictureFiles, name string, list []*picture.Figure) error {
	all := picture.Stack(name, list...)
	var files []outset.File
	for _, one := range [...]struct {
		name string
		draw func() ([]byte, error)
	}{
		{to.svg, func() ([]byte, error) { return all.SVG("p", true), nil }},
		{to.png, func() ([]byte, error) { return all.PNG(pixels) }},
	} {
		if one.name == "" {
			continue
		}
		data, err := one.draw()
		if err != nil {
			return err
		}
		if one.name == "-" {
			if err := a.product(one.name, false, data, ""); err != nil {
				return err
			}
			continue
		}
		files = append(files, outset.File{Name: one.name, Data: data})
	}
	return a.products(to.force, "the drawing", files...)
}
