// Package key is the catalogue of a job file's keys: where each stands, what it takes,
// within which bounds, what it means, and what is taken for it where it is left out.
//
// Nothing comes in but how keys are described; out go the Keys, in the order in which a job is best written. What
// a job may hold, the reference, the schema, the completion and the man page are all
// made from it.
package key

import (
	"cmp"
	"slices"

	"dishwright/dish/measure/keys"
)

// Kind is what stands under a key.
type Kind = keys.Kind

// The kinds of value.
const (
	Length = keys.Length
	Number = keys.Number
	Whole  = keys.Whole
	Angle  = keys.Angle
	Slope  = keys.Slope
	Time   = keys.Time
	Text   = keys.Text
	Word   = keys.Word
	Map    = keys.Map
	List   = keys.List
	Place  = keys.Place
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

// Key is one key.
type Key = keys.Key

// Other is what a key has otherwise in jobs of one form.
type Other = keys.Other

// Group is some keys that belong together.
type Group = keys.Group

// Jobs returns the catalogue; job.Keys has beside it what forms bring with them.
func Jobs() *keys.Catalogue { return jobs }

var jobs = keys.New("a job file",
	Group{About: "what is made", Keys: general},
	Group{About: "the blank and the machine", Keys: blankKeys},
	Group{About: "how it is cut", Keys: cutting},
	Group{About: "the shelf of cutters", Keys: shelfKeys},
	Group{About: "holes, lines and cut-outs", Keys: extraKeys},
	Group{About: "the rim of the sides", Keys: rimKeys},
)

// With returns the catalogue of jobs that may be of one more form: such a job has the keys of
// those of the form like, and its own.
func With(jobs *keys.Catalogue, form, like string, own ...Key) *keys.Catalogue {
	own = slices.Clone(own)
	for i := range own {
		own[i].Forms, own[i].Instead = []string{form}, cmp.Or(own[i].Instead, "only a "+form+" has it")
	}
	return Worded(jobs.Each(func(k Key) Key { return k.Also(form, like) }, own...), "form", form)
}

// Worded returns the catalogue where more words may stand under a key.
func Worded(jobs *keys.Catalogue, path string, more ...string) *keys.Catalogue {
	return jobs.Each(func(k Key) Key {
		if k.Path == path {
			k.Words = append(slices.Clone(k.Words), more...)
		}
		return k
	})
}

// Shops returns the catalogue of a shop file: the keys of jobs that may stand in one.
func Shops(jobs *keys.Catalogue) *keys.Catalogue {
	list := slices.DeleteFunc(jobs.All(), func(k Key) bool { return !k.Shop })
	return keys.New("a shop file", Group{About: "what stays the same from job to job", Keys: list})
}

// A dome's radius and a face's width in most work, mm: common practice.
const (
	leastDome, mostDome = 4000, 9000
	leastFace, mostFace = 250, 750
)

const (
	practice = "common practice"
	faceless = "a gauge has no face: remove it"
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
