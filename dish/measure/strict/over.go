package strict

import (
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// Over is Open for a file that lies over another, which is nil for none: a key that the
// upper file does not have counts as it stands in the lower one. Where both have a map
// under a key of their root, its entries are taken together, each whole, the upper
// file's own before the lower one's. Changes are made in what comes of both. Faults of
// the lower file, those found already and those that the getters find, are told with
// its name at its lines.
func (f Former) Over(lower *Document, file string, data []byte, changes ...Change) (*Document, error) {
	return f.open(lower, file, data, changes)
}

// lay puts what stands in the lower file under the tree of the upper one.
func (d *Document) lay(lower *Document, root *yaml.Node) {
	if lower == nil {
		return
	}
	d.faults, d.omitted = append(d.faults, lower.faults...), d.omitted+lower.omitted
	for n := range lower.faulty {
		d.faulty[n] = true
	}
	d.below = lower.file
	for _, e := range lower.root.entries {
		d.stem(e.node, lower.file)
		d.stem(e.value, lower.file)
	}
	if root.Kind == yaml.MappingNode {
		merge(root, lower.root, true)
	}
}

// stem notes which file or call a tree is of.
func (d *Document) stem(n *yaml.Node, file string) {
	d.origin[n] = file
	for _, child := range n.Content {
		d.stem(child, file)
	}
}

// merge appends the entries of the lower map whose keys the upper one does not have; deep
// goes one level further.
func merge(upper *yaml.Node, lower *Map, deep bool) {
	has := make(map[string]*yaml.Node, len(upper.Content)/2)
	for i := 0; i+1 < len(upper.Content); i += 2 {
		has[upper.Content[i].Value] = upper.Content[i+1]
	}
	for _, e := range lower.entries {
		own, both := has[e.key]
		switch {
		case !both:
			upper.Content = append(upper.Content, e.node, e.value)
		case deep && own.Kind == yaml.MappingNode && e.value.Kind == yaml.MappingNode:
			merge(own, newMap(lower.doc, e.value, e.key, e.key), false)
		}
	}
}

// FileOf returns the file that the value of a key stands in: the document's own, or the
// one that lies under it. A value of a call counts as the document's.
func (m *Map) FileOf(key string) string {
	if at := m.Pos(key); at.File != "" && at.File == m.doc.below {
		return at.File
	}
	return m.doc.file
}

// Drop takes keys out of the map, as if they were not written.
func (m *Map) Drop(keys ...string) {
	gone := make(map[string]bool, len(keys))
	for _, k := range keys {
		gone[k] = true
	}
	kept := m.entries[:0]
	clear(m.index)
	for _, e := range m.entries {
		if !gone[e.key] {
			m.index[e.key] = len(kept)
			kept = append(kept, e)
		}
	}
	m.entries = kept
}

// Given is one value as it is written: the way to it, its keys parted by / and entries of
// lists counted from 1, as a Change names it; its text; and where it stands.
type Given struct {
	Way, Text string
	Pos       Pos
}

// Given returns the values that stand in the map, in its order. A list of single values
// is one value.
func (m *Map) Given() (list []Given) {
	for _, e := range m.entries {
		list = m.doc.given(list, e.key, e.value, m.doc.valuePos(e.value, e.pos), 1)
	}
	return list
}

func (d *Document) given(list []Given, way string, n *yaml.Node, at Pos, depth int) []Given {
	switch {
	case d.faulty[n] || depth > MaxDepth:
		return list
	case n.Kind == yaml.MappingNode && len(n.Content) > 0:
		for _, e := range newMap(d, n, "", "").entries {
			list = d.given(list, way+"/"+e.key, e.value, d.valuePos(e.value, e.pos), depth+1)
		}
		return list
	case n.Kind == yaml.SequenceNode && !flat(n):
		for i, child := range n.Content {
			list = d.given(list, way+"/"+strconv.Itoa(i+1), child, d.valuePos(child, at), depth+1)
		}
		return list
	}
	return append(list, Given{way, written(n), at})
}

// flat reports whether a list holds single values alone.
func flat(n *yaml.Node) bool {
	for _, child := range n.Content {
		if child.Kind != yaml.ScalarNode {
			return false
		}
	}
	return true
}

// written is the text of a single value, of a list of such, or of what is empty.
func written(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "{}"
	case yaml.SequenceNode:
		texts := make([]string, len(n.Content))
		for i, child := range n.Content {
			texts[i] = child.Value
		}
		return "[" + strings.Join(texts, ", ") + "]"
	}
	return n.Value
}

// Says reports whether exactly this word stands under the key. It records nothing.
func (m *Map) Says(key, word string) bool {
	i, ok := m.index[key]
	return ok && (&Value{node: m.entries[i].value}).IsWord(word)
}

// MapOrEmpty returns the map that stands under the key, an empty one where the key is absent.
func (m *Map) MapOrEmpty(key string) (*Map, bool) {
	if !m.Has(key) {
		return &Map{doc: m.doc, label: key, path: below(m.path, key), pos: m.pos}, true
	}
	return m.Map(key)
}

// Peek returns the map that stands under the key, if one does. It records nothing.
func (m *Map) Peek(key string) (*Map, bool) {
	i, ok := m.index[key]
	if !ok || m.entries[i].value.Kind != yaml.MappingNode || m.doc.faulty[m.entries[i].value] {
		return nil, false
	}
	return newMap(m.doc, m.entries[i].value, key, below(m.path, key)), true
}

// Join returns the faults of several errors as one, those of the first in front; nil
// where there are none. An error that is not Faults comes back as it is.
func Join(errs ...error) error {
	var all Faults
	for _, err := range errs {
		switch e := err.(type) {
		case nil:
		case Faults:
			all = append(all, e...)
		case Fault:
			all = append(all, e)
		default:
			return err
		}
	}
	if len(all) == 0 {
		return nil
	}
	return all
}
