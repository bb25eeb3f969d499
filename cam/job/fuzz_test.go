package job_test

import (
	"errors"
	"strings"
	"testing"

	"dishwright/cam"
	"dishwright/cam/job"
	"dishwright/cam/work"
	"dishwright/dish/measure/strict"
	"dishwright/samples"
)

// FuzzLoad: any bytes make a job or faults, never a panic; a job that is read
// is a sound one, and what package cam finds in it has a place in the file.
func FuzzLoad(f *testing.F) {
	for _, name := range samples.Names() {
		data, _ := samples.Get(name)
		f.Add(data)
		f.Add([]byte(strings.ReplaceAll(string(data), " mm", "")))
		f.Add([]byte(strings.Replace(string(data), "diameter", "radius", 1)))
		f.Add(data[:len(data)*2/3])
	}
	for _, text := range []string{
		"", "a: &a [*a]\n", "\x00", short, short + "shelf: {auto: {}}\n", short + "shelf: {\"\": {}}\n", short + "hold downs: [[]]\n",
		short + "extras: {cut out: {tabs: -1}}\n", with("machine", "../.."), with("machine", "/dev/null"), with("radius", "1000 m"), with("form", "[dish]"), with("name", `"\ud800"`), with("radius", "1e308 mm"), with("radius", ".nan"), with("diameter", "-0 mm"),
		short + "spindle tilt: 0.1 mm per 100 mm\nundersize: 0.1 mm\n", short + "spindle tilt: 1 mm per 0 mm\n", short + "spindle tilt: 45 deg\nundersize: 12 m\n",
		with("blank", "{shape: rectangle, length: 1 mm}"), short + "shelf: {a: " + ball + ", A: " + ball + "}\nrough: a\nfinish: A\n",
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		j, err := job.Load("job.yaml", data)
		if err != nil {
			var fs strict.Faults
			if !errors.As(err, &fs) || len(fs) == 0 {
				t.Fatalf("an error without faults: %v", err)
			}
			for _, one := range fs {
				if one.Message == "" || one.Hint == "" && one.Line > 0 || one.Line < 0 || one.Column < 0 || strings.ContainsAny(one.Message, "\n") {
					t.Fatalf("a fault that says nothing: %+v", one)
				}
			}
			return
		}
		w := j.Work
		if !(w.Face.Radius > w.Face.Rim) || !(w.Face.Rim > 0) || len(w.Shelf) == 0 || !(w.Scallop >= work.LeastScallop) || !(w.Blank.Thickness > 0) || w.Machine.Name == "" || w.Name == "" {
			t.Fatalf("an unsound job: %+v", w)
		}
		if !(w.Tilt >= 0 && w.Tilt <= 0.02) || !(w.Undersize >= 0 && w.Undersize <= 1) {
			t.Fatalf("an unsound tilt or undersize: %+v", w)
		}
		for _, c := range w.Shelf {
			if !(c.Diameter > 0) || c.Flutes < 1 || !(c.Body().Corner >= 0) || !(c.Body().Flat >= 0) || !(c.Shank > 0) || !(c.FastestSpeed > 0) || c.Name == "" {
				t.Fatalf("an unsound cutter: %+v", c)
			}
		}
		lines := strings.Count(string(data), "\n") + strings.Count(string(data), "\r") + 1
		if ps := cam.Feasible(work.Whole(&w)); len(ps) > 0 {
			var fs strict.Faults
			if !errors.As(j.Locate(ps), &fs) {
				t.Fatal("problems without a place")
			}
			for _, one := range fs {
				if one.Line < 1 || one.Line > lines || one.Column < 1 {
					t.Fatalf("a fault outside the file: %+v", one)
				}
			}
		}
	})
}
