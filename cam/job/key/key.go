// Package key is the catalogue of a job file's keys: where each stands, what it takes,
// within which bounds, what it means, and what is taken for it where it is left out.
//
// Nothing comes in but how keys are described; out go the Keys, in the order in which a job is best written. What
// a job may hold, the reference, the schema, the completion and the man page are all
// made from it.
package key

import (
	"slices"

	"dishwright/dish/measure"
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

// Jobs returns the catalogue.
func Jobs() *keys.Catalogue { return jobs }

var jobs = keys.New("a job file",
	Group{About: "what is made", Keys: general},
	Group{About: "the blank and the machine", Keys: blankKeys},
	Group{About: "how it is cut", Keys: cutting},
	Group{About: "the shelf of cutters", Keys: shelfKeys},
	Group{About: "holes, lines and cut-outs", Keys: extraKeys},
	Group{About: "the rim of the sides", Keys: rimKeys},
)

// Shops returns the catalogue of a shop file: the keys of jobs that may stand in one.
func Shops() *keys.Catalogue { return shops }

var shops = func() *keys.Catalogue {
	var list []Key
	for _, k := range jobs.All() {
		if k.Shop {
			list = append(list, k)
		}
	}
	return keys.New("a shop file", Group{About: "what stays the same from job to job", Keys: list})
}()

// All returns every key, a holder before what it holds.
func All() []Key { return jobs.All() }

// Groups returns every key by what it is about.
func Groups() []Group { return jobs.Groups() }

// Former returns the former names of keys, each with the name of now.
func Former() map[string]string { return jobs.Former() }

// Current returns a path with the name of now in place of a former one.
func Current(path string) string { return jobs.Current(path) }

// Find returns the key of a path, written as in the catalogue or as in a job.
func Find(path string) (Key, bool) { return jobs.Find(path) }

// Expected returns the range of what stands at a path of a job.
func Expected(path string) measure.Range { return jobs.Expected(path) }

// Under returns the names of the keys that stand in what the path holds.
func Under(path string, forms ...string) []string { return jobs.Under(path, forms...) }

// Forms returns the names of the forms that a job file may state.
func Forms() []string { return []string{Dish, Caul, Board, Gauge, Pair, Rim} }

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
