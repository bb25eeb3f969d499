package main

import (
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

// drawRim draws the sanding of a rim where the job is one that is not cut and pictures
// are asked for; done says whether it was.
func (a *app) drawRim(name string, to pictureFiles) (done bool, err error) {
	f, err := a.jobSource(name)
	if err != nil || f.Form() != "rim" || !to.any() {
		return false, err
	}
	j, err := a.loadRim(name)
	if err != nil || j.Mould != nil {
		return false, err
	}
	r, err := sides.Run(j, beside(j.File))
	if err != nil {
		return false, err
	}
	return true, a.writePictures(to, tell.Plain(j.Name, 120), r.Pictures(figure.Page))
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
