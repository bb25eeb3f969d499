package keys

import (
	"maps"
	"slices"
	"strings"

	"dishwright/dish/measure"
)

// Group is some keys that belong together.
type Group struct {
	About string // what they say, as a heading
	Keys  []Key
}

// Catalogue is every key of one sort of file.
type Catalogue struct {
	File   string // what the file is, as in "a job file"
	groups []Group
	all    []Key
	at     map[string]int    // where in all the key of a path is
	former map[string]string // the names that keys had once, each with that of now
}

// New returns the catalogue of a sort of file.
func New(file string, groups ...Group) *Catalogue {
	c := &Catalogue{File: file, groups: groups, at: map[string]int{}, former: map[string]string{}}
	for _, g := range groups {
		c.all = append(c.all, g.Keys...)
	}
	for i, k := range c.all {
		c.at[k.Path] = i
		if k.Former != "" {
			c.former[k.Former] = k.Path
		}
	}
	return c
}

// Each returns the catalogue in which every key is as f makes it, with more in the first group.
func (c *Catalogue) Each(f func(Key) Key, more ...Key) *Catalogue {
	groups := c.Groups()
	for i, g := range groups {
		groups[i].Keys = nil
		for _, k := range g.Keys {
			groups[i].Keys = append(groups[i].Keys, f(k))
		}
	}
	groups[0].Keys = append(groups[0].Keys, more...)
	return New(c.File, groups...)
}

// All returns every key, a holder before what it holds. The caller must not change
// what the keys hold.
func (c *Catalogue) All() []Key { return slices.Clone(c.all) }

// Groups returns every key by what it is about, in the order of All. The caller must
// not change what they hold.
func (c *Catalogue) Groups() []Group { return slices.Clone(c.groups) }

// Former returns the names that keys had once and that are still read, each with the
// name of now.
func (c *Catalogue) Former() map[string]string { return maps.Clone(c.former) }

// Current returns a path with the name of now in place of a former one.
func (c *Catalogue) Current(path string) string {
	head, rest, deeper := strings.Cut(path, "/")
	now, former := c.former[head]
	switch {
	case !former:
		return path
	case deeper:
		return now + "/" + rest
	}
	return now
}

// Find returns the key of a path, written as in the catalogue or as in a file, where
// names and numbers stand for * and #; a name may hold a /, so the deepest key counts.
// A former name finds the key of now.
func (c *Catalogue) Find(path string) (found Key, ok bool) {
	path = c.Current(path)
	if i, exactly := c.at[path]; exactly {
		return c.all[i], true
	}
	for _, k := range c.all {
		if fits(k.Path, path) && (!ok || strings.Count(k.Path, "/") > strings.Count(found.Path, "/")) {
			found, ok = k, true
		}
	}
	return found, ok
}

// fits reports whether a path of a file is one of the pattern; a name may hold a /.
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

// Expected returns the range of what stands at a path of a file; nothing is known where the
// path is of no key. The two lengths of a place stand below it.
func (c *Catalogue) Expected(path string) measure.Range {
	k, ok := c.Find(path)
	if up := path[:max(0, strings.LastIndexByte(path, '/'))]; up != "" {
		if holder, found := c.Find(up); found && holder.Is(Place) && (!ok || !k.Is(Length) && !k.Is(Time)) {
			k, ok = holder, true
		}
	}
	if !ok {
		return measure.Range{}
	}
	return k.Range()
}

// Under returns the names of the keys that stand in what the path holds, "" for the
// file itself, in files of any of the forms; of every form where none is named.
func (c *Catalogue) Under(path string, forms ...string) (names []string) {
	for _, k := range c.all {
		if k.Parent() != path {
			continue
		}
		if len(forms) == 0 || slices.ContainsFunc(forms, k.For) {
			names = append(names, k.Name())
		}
	}
	return names
}
