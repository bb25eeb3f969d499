package strict

import (
	"fmt"
	"strings"

	"dishwright/dish/measure"

	"gopkg.in/yaml.v3"
)

// Former holds the former names of keys, each with the name that the key has now. They
// are keys of a file's root. What stands under a former name, in the file or in a
// change, is read as if it stood under the name of now; both names in one file are a
// fault.
type Former map[string]string

// Now returns the way to a key with the name of now in place of a former one.
func (f Former) Now(way string) string {
	head, rest, deeper := strings.Cut(way, "/")
	now, ok := f[head]
	switch {
	case !ok:
		return way
	case deeper:
		return now + "/" + rest
	}
	return now
}

// renameFormer gives the keys of a file's root the names that they have now.
func (d *Document) renameFormer(root *yaml.Node) {
	if root.Kind != yaml.MappingNode || len(d.former) == 0 {
		return
	}
	lines := make(map[string]int, len(root.Content)/2)
	for i := 0; i+1 < len(root.Content); i += 2 {
		lines[root.Content[i].Value] = root.Content[i].Line
	}
	kept := root.Content[:0]
	for i := 0; i+1 < len(root.Content); i += 2 {
		k := root.Content[i]
		now, former := d.former[k.Value]
		if line, both := lines[now]; former && both {
			d.add(d.posOf(k), fmt.Sprintf("%s is the former name of the key %s, which is on line %d", measure.Quote(k.Value), measure.Quote(now), line), "keep "+now+" alone")
			continue
		}
		if former && k.Kind == yaml.ScalarNode {
			k.Value = now
		}
		kept = append(kept, k, root.Content[i+1])
	}
	root.Content = kept
}
