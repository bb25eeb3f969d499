package picture

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"slices"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cmd/internal/outset"
)

// mostPixels bounds the memory that a picture takes.
const mostPixels = 40_000_000

// PNG returns the figure as a picture with so many pixels in a millimetre. It is an
// error where that makes over 40 million of them.
func (f *Figure) PNG(perMM float64) ([]byte, error) {
	w, h := int(math.Ceil(f.Width*perMM)), int(math.Ceil(f.Height*perMM))
	if w < 1 || h < 1 || float64(w)*float64(h) > mostPixels {
		return nil, fmt.Errorf("a picture of %d by %d pixels: at least 1 by 1, at most 40 million in all", w, h)
	}
	sheet := image.NewGray(image.Rect(0, 0, w, h))
	draw.Draw(sheet, sheet.Bounds(), image.White, image.Point{}, draw.Src)
	p := painter{sheet: sheet, per: perMM, ink: new(vector.Rasterizer)}
	for _, m := range f.onPaper() {
		if err := p.mark(m); err != nil {
			return nil, err
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, sheet); err != nil {
		return nil, err
	}
	return marked(b.Bytes()), nil
}

// marked puts the mark of a file of ours into a picture, as a text chunk behind the header:
// length, kind, keyword and text, sum (PNG specification, 5.3 and 11.3.4.3).
func marked(data []byte) []byte {
	const header = 8 + 4 + 4 + 13 + 4 // signature; length, kind, data and sum of the first chunk
	chunk := []byte("tEXtComment\x00" + outset.Mark)
	text := binary.BigEndian.AppendUint32(nil, uint32(len(chunk)-4))
	text = binary.BigEndian.AppendUint32(append(text, chunk...), crc32.ChecksumIEEE(chunk))
	return slices.Insert(data, header, text...)
}

// painter draws marks as pixels.
type painter struct {
	sheet *image.Gray
	per   float64 // pixels in a millimetre
	ink   *vector.Rasterizer
	wet   [][]Point // what the mark under way fills, in pixels
	face  font.Face
}

func (p *painter) mark(m mark) error {
	switch {
	case m.kind == text:
		return p.text(m)
	case m.kind == dots:
		for _, at := range m.points[0] {
			p.polygon(circle(at, m.size/2)...)
		}
	case m.kind == area:
		p.polygon(m.points[0]...)
	case m.round > 0:
		p.stroke(m.pen, append(circle(m.points[0][0], m.round), circle(m.points[0][0], m.round)[0]))
	default:
		for _, l := range m.points {
			if m.closed {
				l = append(append([]Point(nil), l...), l[0])
			}
			p.stroke(m.pen, l)
		}
	}
	p.flush(m.pen.Grey)
	return nil
}

// flush puts what was gathered on the sheet: only the box round it is looked at, as most
// marks are small beside the sheet.
func (p *painter) flush(grey float64) {
	var box image.Rectangle
	for _, shape := range p.wet {
		for _, a := range shape {
			x, y := int(math.Floor(a.X)), int(math.Floor(a.Y))
			box = box.Union(image.Rect(x, y, x+2, y+2))
		}
	}
	if box = box.Intersect(p.sheet.Bounds()); !box.Empty() {
		p.ink.Reset(box.Dx(), box.Dy())
		for _, shape := range p.wet {
			for i, a := range shape {
				x, y := float32(a.X-float64(box.Min.X)), float32(a.Y-float64(box.Min.Y))
				if i == 0 {
					p.ink.MoveTo(x, y)
				} else {
					p.ink.LineTo(x, y)
				}
			}
			p.ink.ClosePath()
		}
		p.ink.Draw(p.sheet, box, image.NewUniform(color.Gray{Y: uint8(math.Round(255 * grey))}), image.Point{})
	}
	p.wet = p.wet[:0]
}

// polygon gathers a filled shape, turned so that shapes that overlap add up.
func (p *painter) polygon(points ...Point) {
	sum := 0.0
	for i, a := range points {
		sum += r2.Cross(a, points[(i+1)%len(points)])
	}
	shape := make([]Point, len(points))
	for i, a := range points {
		if sum < 0 {
			i = len(points) - 1 - i
		}
		shape[i] = r2.Scale(p.per, a)
	}
	p.wet = append(p.wet, shape)
}

// stroke gathers a line: a strip for each piece and a round joint between two.
func (p *painter) stroke(pen Pen, points []Point) {
	half := max(pen.Width, 1/p.per) / 2 // at least a pixel wide
	for _, l := range dashed(points, pen.Dash) {
		for i := 1; i < len(l); i++ {
			d := r2.Sub(l[i], l[i-1])
			if n := r2.Norm(d); n > 0 {
				side := r2.Scale(half/n, r2.Vec{X: -d.Y, Y: d.X})
				p.polygon(r2.Add(l[i-1], side), r2.Add(l[i], side), r2.Sub(l[i], side), r2.Sub(l[i-1], side))
			}
			if i+1 < len(l) && half*p.per > 1 {
				p.polygon(circle(l[i], half)...)
			}
		}
	}
}

// dashed cuts a line into its dashes; none leaves it whole.
func dashed(points []Point, dash []float64) [][]Point {
	if len(dash) == 0 || len(points) < 2 {
		return [][]Point{points}
	}
	var out [][]Point
	run := []Point{points[0]}
	k, rest := 0, dash[0]
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		for {
			n := r2.Norm(r2.Sub(b, a))
			if n <= rest {
				rest -= n
				run = append(run, b)
				break
			}
			a = r2.Add(a, r2.Scale(rest/n, r2.Sub(b, a)))
			if run = append(run, a); k%2 == 0 {
				out = append(out, run)
			}
			run = []Point{a}
			k++
			rest = max(dash[k%len(dash)], 0.05)
		}
	}
	if k%2 == 0 {
		out = append(out, run)
	}
	return out
}

// circle returns enough points round a circle.
func circle(at Point, radius float64) []Point {
	n := max(8, min(256, int(8*math.Sqrt(radius*10))))
	out := make([]Point, n)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = Point{X: at.X + radius*cos, Y: at.Y + radius*sin}
	}
	return out
}

// text writes with the Go fonts, which have Latin letters, Greek and Cyrillic alone.
func (p *painter) text(m mark) error {
	if p.face == nil {
		parsed, err := opentype.Parse(goregular.TTF)
		if err != nil {
			return err
		}
		// At 72 dots an inch a point is a pixel.
		if p.face, err = opentype.NewFace(parsed, &opentype.FaceOptions{Size: TextSize * p.per, DPI: 72}); err != nil {
			return err
		}
	}
	d := font.Drawer{Dst: p.sheet, Src: image.Black, Face: p.face}
	at := m.points[0][0]
	x := at.X*p.per - float64(d.MeasureString(m.text))/64*share[m.anchor]
	d.Dot = fixed.Point26_6{X: fixed.Int26_6(math.Round(x * 64)), Y: fixed.Int26_6(math.Round(at.Y * p.per * 64))}
	d.DrawString(m.text)
	return nil
}
