package job

import (
	"fmt"
	"strings"

	"dishwright/cam/job/key"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/measure/strict"
)

// ShopName is the name by which a shop file is found beside a job or in a folder above it.
const ShopName = "shop.yaml"

// Shop is a shop file: what stays the same from job to job. Which keys may stand in it
// the catalogue says (key.Key.Shop).
type Shop struct {
	File string // the name in messages; paths in it are relative to its folder
	Data []byte
}

// Name returns the file's name, empty where there is none.
func (s *Shop) Name() string {
	if s == nil {
		return ""
	}
	return s.File
}

// open reads the form of the file, and finds keys that do not belong in it.
func (s *Shop) open(c *keys.Catalogue) (*strict.Document, error) {
	doc, err := strict.Former(c.Former()).Open(s.File, s.Data)
	if err != nil {
		return nil, err
	}
	root := doc.Root()
	root.Drop(ofJobs(c, doc, root, "")...)
	for _, name := range root.Keys() {
		if m, ok := root.Peek(name); ok {
			ofJobs(c, doc, m, name+"/")
		}
	}
	return doc, nil
}

// ofJobs finds the keys of a map that a job alone may have, and at the root those that
// nothing has. It returns their names.
func ofJobs(c *keys.Catalogue, doc *strict.Document, m *strict.Map, way string) (bad []string) {
	for _, name := range m.Keys() {
		k, known := c.Find(way + name)
		switch {
		case !known && way == "":
			doc.Fault(m.KeyPos(name), "the key "+measure.Quote(name)+" is not known", strict.SuggestKey(name, key.Shops(c).Under(""), "the keys of a shop file are"))
		case known && !k.Shop:
			doc.Fault(m.KeyPos(name), fmt.Sprintf("a shop file has no %s: that is for each job to say", way+measure.Shorten(name)),
				"write it in the job; a shop file holds what stays the same from job to job, such as machine and shelf")
		default:
			continue
		}
		bad = append(bad, name)
	}
	return bad
}

// fit takes out what the shop file holds and a job of its form has no use for.
func (s *Shop) fit(root *strict.Map, c *keys.Catalogue) {
	form := key.Dish
	if root.Has("form") {
		form = ""
		for _, f := range wordsIn(c) {
			if root.Says("form", f) {
				form = f
			}
		}
	}
	if form == key.Rim && root.Has("cut") {
		form = key.Mould
	}
	var idle []string
	for _, name := range root.Keys() {
		k, known := c.Find(name)
		if root.KeyPos(name).File != s.File || !known || form == "" {
			continue
		}
		divides := name == "index by" || name == "index error"
		if !k.For(form) || divides && !root.Has("setups") {
			idle = append(idle, name)
		}
	}
	root.Drop(idle...)
}

// Holds returns the ways to what stands in the file: the keys of its root, and of its maps
// the keys below them, such as blank/thickness. The error is strict.Faults.
func (s *Shop) Holds() (map[string]bool, error) {
	held := map[string]bool{}
	if s == nil {
		return held, nil
	}
	doc, err := s.open(Keys())
	if err != nil {
		return nil, err
	}
	for _, g := range doc.Root().Given() {
		for way := g.Way; way != ""; way = way[:max(0, strings.LastIndexByte(way, '/'))] {
			held[way] = true
		}
	}
	return held, doc.Err()
}
