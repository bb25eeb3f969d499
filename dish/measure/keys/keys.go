// Package keys is how the keys of a YAML file are described: where each stands, what it
// takes, within which bounds, what it means, and what is taken for it where it is left out.
//
// In come Keys, in the order in which the file is best written; out goes a Catalogue that
// finds them. The reference, the schema and the completion are made from it, and a Reader
// reads a document by it: what a section of the file holds is asked for by the names of its
// keys, and comes within their bounds, out of their words, or as what is taken for them.
// Whatever else is wrong with the values together is for the caller to say.
package keys

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"

	"dishwright/dish/measure"
)

// Kind is what stands under a key.
type Kind string

// The kinds of value.
const (
	Length       Kind = "length"       // a number with its unit
	Feed         Kind = "feed"         // such as 3000 mm/min
	Acceleration Kind = "acceleration" // such as 250 mm/s2
	Number       Kind = "number"       // a plain number
	Whole        Kind = "whole"        // a plain whole number
	Angle        Kind = "angle"        // such as 3 deg
	Slope        Kind = "slope"        // such as 0.1 mm per 100 mm
	Time         Kind = "time"         // such as 8 min
	Text         Kind = "text"         // any words
	Word         Kind = "word"         // one of the Words
	YesNo        Kind = "yes or no"    // or true, or false
	Map          Kind = "map"          // keys of its own
	List         Kind = "list"         // entries, each like the key ending in #
	Place        Kind = "place"        // a list of two lengths
)

// Key is one key: all that reading it, and telling of it, takes. Least and Most bound a
// length in mm, a feed in mm/min, an acceleration in mm/s², a time in s, an angle in degrees,
// a slope in mm per 100 mm, and plain numbers as they are; both are 0 where nothing bounds them.
type Key struct {
	Path    string   // parted by /, with * for a name of the builder's and # for each entry of a list
	Former  string   // a name that it had once and that is still read; empty for none
	Forms   []string // of the file that have it; nil where the file has no forms
	Instead string   // what files of other forms have in its place, as a hint
	Shop    bool     // may it stand in a shop file? So may what is shared by all work of a shop, but not what makes or places one piece

	// What may stand there.
	Kinds   []Kind   // any of which may
	Words   []string // of a Word, and words that may stand in place of another kind
	Least   float64
	Most    float64
	From    float64 // what it is in most work goes From here To there, in the unit of Least;
	To      float64 // where both are 0, from a quarter of the example to four times that
	Fewest  int     // entries of a list, or names in a map
	Entries int     // the most of them; 0 for any number
	Counts  string  // what a whole number or the entries are, one of it: "tab"
	Beyond  string  // said where a value is out of bounds, %s the value; empty for "NAME of VALUE is out of range"
	Within  string  // the hint then, %s the bounds; empty for "from LEAST to MOST"
	Rule    bool    // is it a length whose unit tells which rule the builder works with?

	// What is taken where it is left out.
	Needed   bool             // nothing: it must be there, where what holds it is
	NeededBy []string         // nothing in these forms
	Default  string           // a value as it is written, or a rule in words; empty for nothing
	Why      string           // that is taken
	Source   string           // where that is from, if it is from elsewhere
	Without  string           // how to ask for none of it, told beside what is taken
	Told     string           // the name under which that is told; at the root its path, elsewhere empty for what is not told
	Of       map[string]Other // what is otherwise in files of a form

	// What is said of it.
	Example string // as it is written behind the colon
	Brief   string // what it is, in the few words that a new file has beside it; empty where that leaves it out
	About   string // what it means, in whole sentences
}

// Other is what a key has otherwise in files of one form; what is empty is as ever.
type Other struct {
	Least                 float64
	Default, Why, Example string
}

// As returns the key as files of the form have it.
func (k Key) As(form string) Key {
	o := k.Of[form]
	if o.Least != 0 {
		k.Least = o.Least
	}
	k.Default, k.Why, k.Example = cmp.Or(o.Default, k.Default), cmp.Or(o.Why, k.Why), cmp.Or(o.Example, k.Example)
	k.Needed = k.Needed || slices.Contains(k.NeededBy, form)
	return k
}

// Also returns the key with one more form, whose files have it as those of another do, or not.
func (k Key) Also(form, like string) Key {
	if k.For(like) {
		k.Forms = append(slices.Clone(k.Forms), form)
	}
	if slices.Contains(k.NeededBy, like) {
		k.NeededBy = append(slices.Clone(k.NeededBy), form)
	}
	if o, ok := k.Of[like]; ok {
		k.Of = maps.Clone(k.Of)
		k.Of[form] = o
	}
	return k
}

// Taken returns what is taken where the key is left out, in files of any form; empty for nothing.
func (k Key) Taken() string {
	text := k.Default
	for _, form := range slices.Sorted(maps.Keys(k.Of)) {
		if d := k.Of[form].Default; d != "" {
			text += "; of a " + form + " " + d
		}
	}
	return text
}

// Reason returns why the default is taken, with where it is from.
func (k Key) Reason() string {
	if k.Source == "" {
		return k.Why
	}
	return k.Why + " (" + k.Source + ")"
}

// Default is a value that is taken because a file does not state it.
type Default struct {
	Key   string `json:"key"`
	Value string `json:"value"`
	Why   string `json:"why"`
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

// example returns the example of a quantity or a place in the inside unit; 0 of another kind.
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
	case k.Is(Feed):
		v, _ := measure.ParseFeed(text)
		return v
	case k.Is(Acceleration):
		v, _ := measure.ParseAcceleration(text)
		return v
	}
	return 0
}

// Name returns the key's own name, the last part of its path.
func (k Key) Name() string { return k.Path[strings.LastIndexByte(k.Path, '/')+1:] }

// Parent returns the path of what holds the key, "" for the file itself.
func (k Key) Parent() string { return k.Path[:max(0, strings.LastIndexByte(k.Path, '/'))] }

// Is reports whether such a value may stand under the key.
func (k Key) Is(kind Kind) bool { return slices.Contains(k.Kinds, kind) }

// For reports whether files of the form have the key.
func (k Key) For(form string) bool { return slices.Contains(k.Forms, form) }
