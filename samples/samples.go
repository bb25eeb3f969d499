// Package samples holds job files, each a scenario of our own with invented
// data, to start from and to try the program with.
//
// In comes a sample's name, out go the bytes of its file.
package samples

import (
	"embed"
	"slices"
)

//go:embed *.yaml
var files embed.FS

// names lists the samples in the order in which they are shown: the first is
// the one to start from.
var names = []string{
	"octave-mandolin",
	"guitar-28ft",
	"ukulele-inches",
	"plate-caul",
	"short",
	"hand-board",
	"arc-gauges",
	"dish-and-caul",
	"dish-in-turns",
	"bouzouki-sides",
	"ukulele-sides",
	"mandola-sides",
	"parlour-cutaway",
	"flat-top-sides",
}

// firstRim is where in names those of the form rim begin.
const firstRim = 9

// Rims returns the names of the samples of the form rim.
func Rims() []string { return slices.Clone(names[firstRim:]) }

// Names returns the names of the samples, always in the same order.
func Names() []string { return slices.Clone(names) }

// Get returns the bytes of the sample called name, and whether there is one.
func Get(name string) ([]byte, bool) {
	if !slices.Contains(names, name) {
		return nil, false
	}
	data, err := files.ReadFile(name + ".yaml")
	return data, err == nil
}
