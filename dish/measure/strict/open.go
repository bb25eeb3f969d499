package strict

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"dishwright/dish/measure"

	"gopkg.in/yaml.v3"
)

// MaxDepth is how deep lists and maps may stand in one another.
const MaxDepth = 20

// Document is one YAML file and the faults found in it so far.
type Document struct {
	collector
	root    *Map
	former  Former
	changes []Change              // made in it
	faulty  map[*yaml.Node]bool   // found faulty already, with all that stands in them
	origin  map[*yaml.Node]string // of what comes from elsewhere: the file, or the label of the change
	below   string                // the file that lies under this one, empty for none
	ranges  func(path string) measure.Range
}

// Open reads the form of a file. The error, a Faults, is for a file that cannot
// be read at all: too large, not text, empty, not YAML, or not a map. Lesser
// faults of form (an anchor, a key twice, a second document) are recorded, and
// Err reports them together with those that the getters find.
//
// The changes are made before anything is read; what is wrong with one is a fault
// under its label.
func Open(file string, data []byte, changes ...Change) (*Document, error) {
	return Former(nil).Open(file, data, changes...)
}

// Open is the function Open for a file whose keys may stand under former names.
func (f Former) Open(file string, data []byte, changes ...Change) (*Document, error) {
	return f.open(nil, file, data, changes)
}

func (f Former) open(lower *Document, file string, data []byte, changes []Change) (*Document, error) {
	d := &Document{collector: collector{file: file}, former: f, changes: changes, faulty: map[*yaml.Node]bool{}, origin: map[*yaml.Node]string{}}
	if len(data) > MaxBytes {
		return nil, Faults{tooLarge(file)}
	}
	if !d.checkText(data) {
		return nil, d.err()
	}
	node, ok := d.parse(data)
	if !ok {
		return nil, d.err()
	}
	d.renameFormer(node)
	d.lay(lower, node)
	d.applyChanges(node)
	d.checkNode(node, 1)
	if node.Kind != yaml.MappingNode {
		if !d.faulty[node] {
			d.add(d.posOf(node), "the file holds "+describe(node)+" where keys and values are expected", "begin with a line like name: something")
		}
		return nil, d.err()
	}
	d.root = newMap(d, node, "", "")
	return d, nil
}

// Root returns the map that the file holds.
func (d *Document) Root() *Map { return d.root }

// Expect tells which values stand where: of returns the range of what stands at a path,
// its keys and the numbers of entries, from 1, parted by /. Where a unit is missing, those
// are suggested that make a value of it.
func (d *Document) Expect(of func(path string) measure.Range) { d.ranges = of }

// Fault records a fault that the caller found. The hint may be empty.
func (d *Document) Fault(at Pos, message, hint string) { d.add(at, message, hint) }

// Err returns every fault recorded so far as a Faults, sorted by place, or nil.
// At most 50 are listed; a last one says how many more there are.
func (d *Document) Err() error { return d.err() }

// checkText refuses bytes that are not plain text in UTF-8.
func (d *Document) checkText(data []byte) bool {
	line, column := 1, 1
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		const hint = "save the file as plain text in UTF-8"
		switch {
		case r == utf8.RuneError && n < 2:
			d.add(Pos{Line: line, Column: column}, "this is not text in UTF-8", hint)
			return false
		case r == 0:
			d.add(Pos{Line: line, Column: column}, "this holds a zero byte: it is not a text file", hint)
			return false
		case i == 0 && r == 0xFEFF: // a byte order mark takes no column
			column--
		case isInvisible(r):
			d.add(Pos{Line: line, Column: column}, fmt.Sprintf("there is a character that cannot be seen (%U)", r), "delete it and write the place again")
			return false
		}
		i += n
		column++
		if r == '\n' || r == '\r' && (i == len(data) || data[i] != '\n') {
			line, column = line+1, 1
		}
	}
	return true
}

// isInvisible reports control characters, line breaks of which only some
// programs know, and marks that make a text read otherwise than it stands.
func isInvisible(r rune) bool {
	switch {
	case r < ' ':
		return r != '\n' && r != '\r' && r != '\t'
	case r >= 0x7F && r <= 0x9F,
		r >= 0x2028 && r <= 0x202E, // line separators, writing direction
		r >= 0x2066 && r <= 0x2069, // writing direction
		r >= 0xFFFE && r <= 0xFFFF,
		r == 0xFEFF:
		return true
	}
	return false
}

// parse returns the node of the first document and records a second one.
func (d *Document) parse(data []byte) (*yaml.Node, bool) {
	dec := yaml.NewDecoder(bytes.NewReader(data))
	node, err := decode(dec)
	switch {
	case errors.Is(err, io.EOF):
		d.add(Pos{Line: 1, Column: 1}, "the file is empty", emptyHint)
		return nil, false
	case err != nil:
		d.addSyntax(data)
		return nil, false
	}
	if len(node.Content) == 0 {
		d.add(Pos{Line: 1, Column: 1}, "the file is empty", emptyHint)
		return nil, false
	}
	root := node.Content[0]
	if root.Kind == yaml.ScalarNode && root.Value == "" && root.Style == 0 {
		d.add(Pos{Line: 1, Column: 1}, "the file is empty", emptyHint)
		return nil, false
	}
	second, err := decode(dec)
	switch {
	case errors.Is(err, io.EOF):
	case err != nil: // what it lacks may stand behind the fault
		d.addSyntax(data)
		return nil, false
	default:
		d.add(d.posOf(second), "a second document begins here", "keep one document in a file: remove the line ---")
	}
	return root, true
}

const emptyHint = "write keys and values, one a line, such as name: something"

// decode reads one document. A panic inside the parser becomes an error: the
// text of a file is no reason to fall over.
func decode(dec *yaml.Decoder) (node *yaml.Node, err error) {
	defer func() {
		if r := recover(); r != nil {
			node, err = nil, errors.New("yaml: the text cannot be read")
		}
	}()
	node = new(yaml.Node)
	err = dec.Decode(node)
	return node, err
}

// checkNode walks through the file's own nodes once and records faults of form; others
// were checked where they came from.
func (d *Document) checkNode(n *yaml.Node, depth int) {
	if _, foreign := d.origin[n]; foreign {
		return
	}
	fault := func(message, hint string) {
		d.faulty[n] = true
		d.add(d.posOf(n), message, hint)
	}
	switch {
	case n.Kind == yaml.AliasNode:
		fault("aliases are not used here", "write the value out again")
		return
	case n.Anchor != "":
		fault("anchors are not used here", "remove &"+measure.Shorten(n.Anchor)+" and write the value out wherever it is needed")
		return
	case n.Style&yaml.TaggedStyle != 0:
		fault("tags such as "+measure.Shorten(n.Tag)+" are not used here", "remove the tag; put a text in quotes where it must be one")
		return
	case depth > MaxDepth && n.Kind != yaml.ScalarNode:
		fault("lists and maps stand too deep in one another", fmt.Sprintf("at most %d deep", MaxDepth))
		return
	}
	for i, child := range n.Content {
		if n.Kind == yaml.MappingNode && i%2 == 0 {
			continue // keys are checked where the map is made
		}
		d.checkNode(child, depth+1)
	}
	if n.Kind == yaml.MappingNode {
		d.checkKeys(n)
	}
}

// posOf returns where a node begins.
func (d *Document) posOf(n *yaml.Node) Pos {
	return Pos{Line: n.Line, Column: n.Column, File: d.origin[n]}
}

// describe names the kind of a node with its article.
func describe(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "keys and values"
	case yaml.SequenceNode:
		return "a list"
	}
	if isNull(n) {
		return "nothing"
	}
	return "a single value"
}

// isNull reports a value that is not there: `key:`, `key: ~`, `key: null`.
func isNull(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Tag == "!!null" && n.Style&^yaml.FlowStyle == 0
}
