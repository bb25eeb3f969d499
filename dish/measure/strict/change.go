package strict

import (
	"fmt"
	"strconv"
	"strings"

	"dishwright/dish/measure"

	"gopkg.in/yaml.v3"
)

// Change gives a key another value than its file does, or a value where the file has
// none. Key is the way to it, the keys parted by /, such as blank/thickness; an entry
// of a list is named by its number, counted from 1. Value is written as in a file, on
// one line. Label names the change in faults.
type Change struct{ Key, Value, Label string }

// ParseChange reads KEY=VALUE; label names it in faults. The error is a measure.Error.
func ParseChange(text, label string) (Change, error) {
	key, value, ok := strings.Cut(text, "=")
	key, value = strings.TrimSpace(key), strings.TrimSpace(value)
	switch {
	case !ok || key == "" || value == "":
		return Change{}, &measure.Error{Message: measure.Quote(text) + " is no change of a key", Hint: "write KEY=VALUE, such as scallop=0.05 mm or blank/thickness=30 mm"}
	case len(text) > MaxBytes || strings.ContainsAny(text, "\r\n"):
		return Change{}, &measure.Error{Message: "a change of a key is one line", Hint: "{key: value, key: value} holds several"}
	}
	return Change{Key: key, Value: value, Label: label}, nil
}

// applyChanges makes the changes in the tree of a file.
func (d *Document) applyChanges(root *yaml.Node) {
	if root.Kind != yaml.MappingNode {
		return
	}
	for _, c := range d.changes {
		if value, ok := d.changeValue(c); ok {
			d.setAt(root, c.Label, d.former.Now(c.Key), value, 0)
		}
	}
}

// changeValue reads the value of a change, whose nodes are noted as of that.
func (d *Document) changeValue(c Change) (*yaml.Node, bool) {
	probe := &Document{collector: collector{file: c.Label}, faulty: d.faulty}
	var node *yaml.Node
	ok := probe.checkText([]byte(c.Value))
	if ok {
		node, ok = probe.parse([]byte(c.Value))
	}
	if !ok {
		f := probe.faults[0]
		d.add(Pos{Line: 1, Column: 1, File: c.Label}, f.Message, f.Hint)
		return nil, false
	}
	probe.checkNode(node, 1)
	d.faults = append(d.faults, probe.faults...)
	d.stem(node, c.Label)
	return node, true
}

// setAt gives the key below a node its value; the rest of the key is the way to it.
func (d *Document) setAt(n *yaml.Node, label, rest string, value *yaml.Node, depth int) {
	here := Pos{Line: 1, Column: 1, File: label}
	switch {
	case depth > MaxDepth:
		d.add(here, "the key lies too deep", fmt.Sprintf("at most %d deep", MaxDepth))
		return
	case n.Kind == yaml.SequenceNode:
		head, after, deeper := strings.Cut(rest, "/")
		k, err := strconv.Atoi(head)
		if err != nil || k < 1 || k > len(n.Content) {
			d.add(here, fmt.Sprintf("the list has no entry %s", measure.Quote(head)), fmt.Sprintf("its entries are numbered 1 to %d", len(n.Content)))
			return
		}
		if !deeper {
			n.Content[k-1] = value
			return
		}
		d.setAt(n.Content[k-1], label, after, value, depth+1)
		return
	case n.Kind != yaml.MappingNode:
		d.add(here, fmt.Sprintf("what stands above %s is %s, with no keys below it", measure.Quote(rest), describe(n)), "name a key that is there, or give the key above it keys and values")
		return
	}
	// A key may hold a / itself, as the name of a cutter does: the longest that fits.
	best := -1
	for k := 0; k+1 < len(n.Content); k += 2 {
		name := n.Content[k].Value
		if (rest == name || strings.HasPrefix(rest, name+"/")) && (best < 0 || len(name) > len(n.Content[best].Value)) {
			best = k
		}
	}
	if best >= 0 {
		name := n.Content[best].Value
		if rest == name {
			n.Content[best+1] = value
			n.Content[best].Line, n.Content[best].Column = 1, 1
			d.origin[n.Content[best]] = label
			return
		}
		d.setAt(n.Content[best+1], label, rest[len(name)+1:], value, depth+1)
		return
	}
	head, after, deeper := strings.Cut(rest, "/")
	key := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: head, Line: 1, Column: 1}
	d.origin[key] = label
	below := value
	if deeper {
		below = &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map", Line: 1, Column: 1}
		d.origin[below] = label
	}
	n.Content = append(n.Content, key, below)
	if deeper {
		d.setAt(below, label, after, value, depth+1)
		d.checkKeys(below)
	}
}
