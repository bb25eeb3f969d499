// Package key is the catalogue of a job file's keys: where each stands, what it takes,
// within which bounds, what it means, and what is taken for it where it is left out.
//
// Nothing comes in but how lengths are written; out go the Keys, in the order in which a job is best written. What
// a job may hold, the reference, the schema, the completion and the man page are all
// made from it.
package key

import (
	"math"
	"slices"
	"strings"

	"dishwright/dish/measure"
)

// Kind is what stands under a key.
type Kind string

// The kinds of value.
const (
	Length Kind = "length" // a number with its unit
	Number Kind = "number" // a plain number
	Whole  Kind = "whole"  // a plain whole number
	Angle  Kind = "angle"  // such as 3 deg
	Slope  Kind = "slope"  // such as 0.1 mm per 100 mm
	Time   Kind = "time"   // such as 8 min
	Text   Kind = "text"   // any words
	Word   Kind = "word"   // one of the Words
	Map    Kind = "map"    // keys of its own
	List   Kind = "list"   // entries, each like the key ending in #
	Place  Kind = "place"  // a list of two lengths
)

// The forms of a job; Mould is a rim whose mould's edge is cut.
const (
	Dish  = "dish"
	Caul  = "caul"
	Board = "board"
	Gauge = "gauge"
	Pair  = "pair"
	Rim   = "rim"
	Mould = "mould"
)

// Key is one key. Least and Most bound a length in mm, a time in s, an angle in
// degrees, and plain numbers as they are; both are 0 where nothing bounds them.
type Key struct {
	Path    string // parted by /, with * for a name of the builder's and # for each entry of a list
	Former  string // a name that it had once and that is still read; empty for none
	Forms   []string
	Kinds   []Kind   // any of which may stand there
	Words   []string // of a Word, and words that may stand in place of another kind
	Least   float64
	Most    float64
	From    float64 // what it is in most work goes From here To there, in the unit of Least;
	To      float64 // where both are 0, from a quarter of the example to four times that
	Needed  bool    // must it be there, where what holds it is?
	Default string  // what is taken where it is left out; empty for nothing
	Why     string  // of the default
	Example string  // as it is written behind the colon
	About   string  // what it means, in whole sentences
}

// Range returns the bounds of what stands under the key, and what it is in most work.
func (k Key) Range() measure.Range {
	r := measure.Range{Least: k.Least, Most: k.Most, From: k.From, To: k.To}
	if r.To == 0 {
		const about = 4 // work differs as much from its example, and units by more
		v := math.Abs(k.example())
		r.From, r.To = v/about, v*about
	}
	return r
}

// example returns the example of a length, a place or a time, in mm or s; 0 of another kind.
func (k Key) example() float64 {
	text := k.Example
	switch {
	case k.Is(Length):
		v, _ := measure.ParseLength(text)
		return v.MM
	case k.Is(Place):
		text, _, _ = strings.Cut(strings.TrimPrefix(text, "["), ",")
		v, _ := measure.ParseLength(text)
		return v.MM
	case k.Is(Time):
		v, _ := measure.ParseSeconds(text)
		return v
	}
	return 0
}

// Expected returns the range of what stands at a path of a job; nothing is known where the
// path is of no key. The two lengths of a place stand below it.
func Expected(path string) measure.Range {
	k, ok := Find(path)
	if up := path[:max(0, strings.LastIndexByte(path, '/'))]; up != "" {
		if holder, found := Find(up); found && holder.Is(Place) && (!ok || !k.Is(Length) && !k.Is(Time)) {
			k, ok = holder, true
		}
	}
	if !ok {
		return measure.Range{}
	}
	return k.Range()
}

// Name returns the key's own name, the last part of its path.
func (k Key) Name() string { return k.Path[strings.LastIndexByte(k.Path, '/')+1:] }

// Parent returns the path of what holds the key, "" for the file itself.
func (k Key) Parent() string { return k.Path[:max(0, strings.LastIndexByte(k.Path, '/'))] }

// Is reports whether such a value may stand under the key.
func (k Key) Is(kind Kind) bool { return slices.Contains(k.Kinds, kind) }

// For reports whether jobs of the form have the key.
func (k Key) For(form string) bool { return slices.Contains(k.Forms, form) }

// Former returns the names that keys had once and that are still read, each with the
// name of now.
func Former() map[string]string {
	names := map[string]string{}
	for _, k := range all {
		if k.Former != "" {
			names[k.Former] = k.Path
		}
	}
	return names
}

// Current returns a path with the name of now in place of a former one.
func Current(path string) string {
	head, rest, deeper := strings.Cut(path, "/")
	now, former := Former()[head]
	switch {
	case !former:
		return path
	case deeper:
		return now + "/" + rest
	}
	return now
}

// All returns every key, a holder before what it holds. The caller must not change
// what the keys hold.
func All() []Key { return slices.Clone(all) }

// Find returns the key of a path, written as in the catalogue or as in a job, where
// names and numbers stand for * and #; a name may hold a /, so the deepest key counts.
// A former name finds the key of now.
func Find(path string) (found Key, ok bool) {
	path = Current(path)
	for _, k := range all {
		if k.Path == path {
			return k, true
		}
		if fits(k.Path, path) && (!ok || strings.Count(k.Path, "/") > strings.Count(found.Path, "/")) {
			found, ok = k, true
		}
	}
	return found, ok
}

// fits reports whether a path of a job is one of the pattern; a name may hold a /.
func fits(pattern, path string) bool {
	head, rest, more := strings.Cut(pattern, "/")
	if head != "*" && head != "#" {
		first, after, deeper := strings.Cut(path, "/")
		return first == head && more == deeper && (!more || fits(rest, after))
	}
	if !more {
		return path != ""
	}
	for i := 1; i < len(path); i++ {
		if path[i] == '/' && fits(rest, path[i+1:]) {
			return true
		}
	}
	return false
}

// Under returns the names of the keys that stand in what the path holds, "" for the
// file itself, in jobs of any of the forms; of every form where none is named.
func Under(path string, forms ...string) (names []string) {
	for _, k := range all {
		if k.Parent() != path {
			continue
		}
		if len(forms) == 0 || slices.ContainsFunc(forms, k.For) {
			names = append(names, k.Name())
		}
	}
	return names
}

// Forms returns the names of the forms that a job file may state.
func Forms() []string { return []string{Dish, Caul, Board, Gauge, Pair, Rim} }

// A dome's radius and a face's width in most work, mm: common practice.
const (
	leastDome, mostDome = 4000, 9000
	leastFace, mostFace = 250, 750
)

// the forms that several keys share
var (
	faces  = []string{Dish, Caul, Board, Pair}            // what has a face
	alone  = []string{Dish, Caul}                         // and is cut by itself
	rounds = []string{Dish, Caul, Pair}                   // and is round
	cuts   = []string{Dish, Caul, Board, Gauge, Pair}     // what is cut, but for moulds
	milled = append(slices.Clone(cuts), Mould)            // whatever is cut
	faced  = append(slices.Clone(faces), Mould)           // whatever is cut and has a face
	rims   = []string{Rim, Mould}                         // what is sanded
	every  = append(append([]string{}, cuts...), rims...) // all
)

// Group is some keys that belong together.
type Group struct {
	About string // what they say, as a heading
	Keys  []Key
}

// Groups returns every key by what it is about, in the order of All. The caller must
// not change what they hold.
func Groups() []Group { return slices.Clone(groups) }

var groups = []Group{
	{"what is made", general},
	{"the blank and the machine", blankKeys},
	{"how it is cut", cutting},
	{"the shelf of cutters", shelfKeys},
	{"holes, lines and cut-outs", extraKeys},
	{"the rim of the sides", rimKeys},
}

// all is the catalogue.
var all = func() (list []Key) {
	for _, g := range groups {
		list = append(list, g.Keys...)
	}
	return list
}()
