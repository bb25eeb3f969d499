package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/job/key"
	"dishwright/cam/work"
	"dishwright/cmd/internal/draft"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/machines"

	"github.com/spf13/pflag"
)

// draftFlags are the flags of new that make a job; each is the key of that name.
var draftFlags = [...][2]string{
	{"form", "dish, caul, board, gauge or pair"},
	{"radius", "radius of the finished face, such as 28 ft; of a gauge several, parted by commas"},
	{"diameter", "diameter of a dish, caul or pair"},
	{"length", "length of a board or gauge"},
	{"width", "width of a board"},
	{"plate", "thickness of the plate that a caul or pair presses"},
	{"covering", "thickness of what is glued on, such as 0.6 mm"},
	{"name", "what the piece is called"},
	{"machine", "a built-in machine, or the `FILE` of your own profile"},
	{"blank", "the blank as SIZE x THICKNESS, LENGTH x WIDTH x THICKNESS, or round or octagon and SIZE x THICKNESS"},
}

// wish is a job that is asked for by flags.
type wish struct {
	a      *app
	file   string            // where it is to stand
	given  map[string]string // by flag
	form   string
	source job.Source // nothing but what was asked for, over the shop file
	held   map[string]bool
	blank  []draft.Line // that was asked for
}

// newWish reads the flags.
func (a *app) newWish(flags *pflag.FlagSet, file string) (*wish, error) {
	w := &wish{a: a, file: file, given: map[string]string{}, form: key.Dish}
	if file == "" || file == "-" {
		w.file = "job.yaml" // beside which paths are written
	}
	for _, f := range draftFlags {
		if v := flags.Lookup(f[0]); v.Changed {
			w.given[f[0]] = strings.TrimSpace(v.Value.String())
		}
	}
	if f, ok := w.given["form"]; ok {
		w.form = f
	}
	if w.form == key.Rim {
		return nil, tell.Errorf("dishwright new bouzouki-sides -o job.yaml", "a rim is drawn from an outline, which no flag gives: start from a sample")
	}
	if !slices.Contains(job.FormWords(), w.form) {
		return nil, tell.Errorf(strict.Suggest(w.form, job.FormWords(), "the forms are"), "--form %s is not known", measure.Quote(w.form))
	}
	for _, name := range draft.Needs(w.form) {
		flag := map[bool]string{true: "radius", false: name}[name == "radii"]
		if _, ok := w.given[flag]; !ok {
			k, _ := job.Keys().Find(flag)
			return nil, tell.Errorf(fmt.Sprintf("--%s %q", flag, k.Example), "a new %s needs --%s", w.form, flag)
		}
	}
	var err error
	if w.source.Shop, err = a.shopFile(w.file); err != nil {
		return nil, err
	}
	if w.held, err = w.source.Shop.Holds(); err != nil {
		return nil, err
	}
	if text, ok := w.given["blank"]; ok {
		if w.blank, err = blankFlag(text); err != nil {
			return nil, err
		}
	}
	return w, w.write()
}

// write makes the source of what was asked for, each flag a change of its name.
func (w *wish) write() error {
	w.source.File = w.file
	for _, f := range draftFlags {
		value, ok := w.given[f[0]]
		if !ok || f[0] == "blank" {
			continue
		}
		name := f[0]
		switch {
		case name == "machine":
			path, err := besideFile(value, w.file)
			if err != nil {
				return err
			}
			value = draft.Quoted(path)
		case name == "name":
			value = draft.Quoted(value)
		case name == "radius" && slices.Contains(draft.Needs(w.form), "radii"):
			name, value = "radii", "["+value+"]"
		}
		w.source.Changes = append(w.source.Changes, strict.Change{Key: name, Value: value, Label: "--" + f[0]})
	}
	for _, l := range w.blank {
		w.source.Changes = append(w.source.Changes, strict.Change{Key: l.Key, Value: l.Value, Label: "--blank"})
	}
	if _, ok := w.given["name"]; !ok {
		w.source.Changes = append(w.source.Changes, strict.Change{Key: "name", Value: draft.Quoted(w.given["radius"] + " " + w.form), Label: "--name"})
	}
	w.source.Data = []byte("{}")
	return nil
}

// besideFile writes the name of a machine as a job in that file names it: a built-in one as
// it is, a path relative to the file's folder.
func besideFile(machine, file string) (string, error) {
	if _, builtin := machines.Builtin(machine); builtin || filepath.IsAbs(machine) || !strings.ContainsAny(machine, `/\.`) {
		return machine, nil
	}
	here, err := filepath.Abs(machine)
	if err != nil {
		return "", err
	}
	dir, err := filepath.Abs(filepath.Dir(file))
	if err != nil {
		return "", err
	}
	rel, err := filepath.Rel(dir, here)
	if err != nil { // another disk
		return filepath.ToSlash(here), nil
	}
	return filepath.ToSlash(rel), nil
}

// blankFlag reads a blank: its sizes and its thickness, parted by x.
func blankFlag(text string) ([]draft.Line, error) {
	shape, rest := "", text
	if word, after, ok := strings.Cut(text, " "); ok && (word == "round" || word == "octagon" || word == "square") {
		shape, rest = word, after
	}
	parts := strings.Split(rest, " x ")
	const hint = `"25 in x 1 in" for a square, "24 in x 6 in x 1 in" for a rectangle, "round 25 in x 1 in"`
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
		if _, err := measure.ParseLength(parts[i]); err != nil {
			return nil, tell.Hint(tell.Wrap("--blank", err), "write it like "+hint)
		}
	}
	switch {
	case len(parts) == 3 && shape == "":
		return []draft.Line{{Key: "blank/shape", Value: "rectangle"}, {Key: "blank/length", Value: parts[0]}, {Key: "blank/width", Value: parts[1]}, {Key: "blank/thickness", Value: parts[2]}}, nil
	case len(parts) != 2:
		return nil, tell.Errorf("write it like "+hint, "--blank %s is not a size and a thickness", measure.Quote(text))
	case shape == "":
		shape = "square"
	}
	size := map[bool]string{true: "blank/diameter", false: "blank/size"}[shape == "round"]
	return []draft.Line{{Key: "blank/shape", Value: shape}, {Key: size, Value: parts[0]}, {Key: "blank/thickness", Value: parts[1]}}, nil
}

// on returns the source with the machine of that name, where the flags and the shop file
// name none.
func (w *wish) on(machine string) job.Source {
	s := w.source
	if machine != "" {
		s.Changes = append(slices.Clone(s.Changes), strict.Change{Key: "machine", Value: machine, Label: "--machine"})
	}
	return s
}

// try is one way to make the job: with so much more land, in several setups.
type try struct {
	land   float64
	setups bool
}

// newJob is a job that was written, planned and found good.
type newJob struct {
	text   []byte
	result *shop.Result
	try    try
}

// plan writes the job, plans it, and goes on to the next machine, blank, or to setups,
// until all bounds hold.
func (w *wish) plan(ctx context.Context) (newJob, error) {
	names, where := []string{""}, w.given["machine"]
	switch {
	case where != "":
	case w.held["machine"]:
		where = "the machine of " + w.source.Shop.Name()
	default:
		names, where = bySize(), "any built-in machine"
	}
	divides := []bool{false}
	if k, _ := job.Keys().Find("setups"); k.For(w.form) && !w.held["setups"] {
		divides = append(divides, true)
	}
	var last noWay
	for _, setups := range divides {
		for _, m := range names {
			got, err := w.planOn(ctx, m, setups)
			if err == nil || !errors.As(err, &last) {
				return got, err
			}
		}
	}
	return newJob{}, w.refusal(last, where)
}

// bySize returns the names of the built-in machines, bench-600 first and then from the
// smallest to the largest: a new job is for a middling one where it can be.
func bySize() []string {
	names := machines.BuiltinNames()
	area := func(name string) float64 {
		m, _ := machines.Builtin(name)
		return float64(m.Travel.X * m.Travel.Y)
	}
	slices.SortStableFunc(names, func(a, b string) int {
		switch first := "bench-600"; {
		case a == first || b == first:
			return map[bool]int{true: -1, false: 1}[a == first]
		case area(a) < area(b):
			return -1
		}
		return 1
	})
	return names
}

// noWay is the error of a machine on which no way was found.
type noWay struct{ error }

func (e noWay) Unwrap() error { return e.error }

// planOn makes the job on one machine; where it lacks land, once more with a larger blank.
func (w *wish) planOn(ctx context.Context, machine string, setups bool) (newJob, error) {
	bare, err := w.on(machine).Load()
	if err != nil {
		return newJob{}, err
	}
	for _, land := range [...]float64{0, moreLand} {
		t := try{land, setups}
		d, err := w.draft(bare, machine, t)
		if err != nil {
			return newJob{}, noWay{err}
		}
		text := d.Text()
		r, err := w.check(ctx, text)
		switch {
		case err == nil:
			return newJob{text, r, t}, nil
		case ctx.Err() != nil:
			return newJob{}, err
		case land > 0 || len(w.blank) > 0 || !bare.Work.HasFace() || !work.KindLand.In(err):
			return newJob{}, noWay{err}
		}
	}
	panic("no way was tried")
}

// moreLand is how much wider the land of the second blank is that is tried, mm.
const moreLand = 25.0

// mostTold is how many of the reasons against a job are told: the rest follow from them.
const mostTold = 3

// refusal turns the error of the last way that was tried into that of the call: the job that
// its places lie in was not written.
func (w *wish) refusal(last noWay, machine string) error {
	asked := w.given["radius"]
	for _, name := range [...]string{"diameter", "length"} {
		if v, ok := w.given[name]; ok {
			asked += ", " + v
		}
	}
	said, hints := "", []string(nil)
	var faults strict.Faults
	if errors.As(last.error, &faults) {
		for _, f := range faults[:min(mostTold, len(faults))] {
			said += ": " + f.Message
			if f.Hint != "" && !slices.Contains(hints, f.Hint) {
				hints = append(hints, f.Hint)
			}
		}
	} else {
		said = ": " + last.Error()
		var more interface{ Hints() []string }
		if errors.As(last.error, &more) {
			hints = more.Hints()
		}
	}
	return tell.Hint(fmt.Errorf("no %s of %s can be made on %s%s", w.form, asked, machine, said), append(hints, "nothing was written; another size, blank or machine may do")...)
}

// check reads and plans a text as check does.
func (w *wish) check(ctx context.Context, text []byte) (*shop.Result, error) {
	j, err := job.Source{File: w.file, Data: text, Shop: w.source.Shop}.Load()
	if err != nil {
		return nil, err
	}
	r, err := w.a.runJob(ctx, j)
	if err != nil {
		return nil, err
	}
	return r, brokenError(r)
}

// draft returns the job as it is to be written.
func (w *wish) draft(bare job.Job, machine string, t try) (d draft.Job, err error) {
	d = draft.Job{Setups: t.setups, Held: w.held, Shop: w.source.Shop.Name(), Unit: measure.Ruler{Inches: bare.SizeInInches()}}
	for _, c := range w.on(machine).Changes {
		if !strings.HasPrefix(c.Key, "blank/") {
			d.Lines = append(d.Lines, draft.Line{Key: c.Key, Value: c.Value})
		}
	}
	if _, ok := w.given["form"]; !ok {
		d.Lines = append(d.Lines, draft.Line{Key: "form", Value: w.form})
	}
	k := bare.Work
	d.Gauge = !k.HasFace()
	_, wide := k.Region.Size()
	face := draft.Face{Wide: wide, Deep: k.Face.Sagitta(), Crown: k.Face.Falls() || bare.Mate != nil, Gauge: d.Gauge}
	if !w.held["shelf"] {
		if d.Shelf = draft.Shelf(k.Machine, face, bare.SizeInInches()); len(d.Shelf) == 0 {
			return d, tell.Errorf("write the cutters that you own into a shop file: dishwright manual everyday", "%s has no collet for, or runs too fast for, any cutter that is common for such a face", k.Machine.Name)
		}
	}
	d.Blank = w.blankOf(bare, t)
	return d, nil
}

// blankOf returns the blank that was asked for, or the one suggested with so much more land.
func (w *wish) blankOf(bare job.Job, t try) (b draft.Blank) {
	if len(w.blank) > 0 {
		b = draft.Blank{Shape: w.blank[0].Value, Thickness: w.blank[len(w.blank)-1].Value, Asked: true}
		for _, l := range w.blank[1 : len(w.blank)-1] {
			b.Keys = append(b.Keys, draft.Line{Key: strings.TrimPrefix(l.Key, "blank/"), Value: l.Value})
		}
		return b
	}
	k := bare.Work.Blank
	s := job.Sold{Length: k.Length, Width: k.Width, Thickness: k.Thickness, Inches: bare.SizeInInches()}
	if t.land > 0 {
		more := job.SuggestBlank(k.Length, k.Width, k.Thickness, t.land, bare.Work.Machine.BetweenUprights, bare.SizeInInches())
		s.Length, s.Width = more.Length, more.Width
	}
	b.Shape, b.Thickness = k.Shape.String(), s.Text(s.Thickness)
	if w.held["blank/thickness"] {
		b.Thickness = ""
	}
	switch k.Shape {
	case dish.Rectangle:
		b.Keys = []draft.Line{{Key: "length", Value: s.Text(s.Length)}, {Key: "width", Value: s.Text(s.Width)}}
	default:
		b.Keys = []draft.Line{{Key: "size", Value: s.Text(s.Length)}}
	}
	return b
}
