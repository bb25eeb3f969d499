package strict

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"dishwright/dish/measure"

	"gopkg.in/yaml.v3"
)

// MaxName is the most characters that a key may have.
const MaxName = 100

// entry is one key of a map with its value.
type entry struct {
	key   string
	pos   Pos        // of the key
	node  *yaml.Node // the key's
	value *yaml.Node
}

// Map is a map of a document: its keys in the order of the file, each once.
type Map struct {
	doc     *Document
	label   string // the key that it stands under; "" for the root
	path    string // the way to it, keys and numbers of entries parted by /; "" for the root
	pos     Pos
	entries []entry
	index   map[string]int
}

// keyFault returns what is wrong with a key, or two empty strings.
func keyFault(k *yaml.Node) (message, hint string) {
	switch {
	case k.Kind == yaml.AliasNode || k.Anchor != "":
		return "anchors and aliases are not used here", "write the key out"
	case k.Kind != yaml.ScalarNode:
		return "a key must be plain words, not " + describe(k), "write key: value, the key a word or two"
	case k.Style&yaml.TaggedStyle != 0:
		return "tags are not used here", "remove the tag"
	case k.Tag == "!!merge":
		return "merging of maps is not used here", "write the keys out"
	case strings.TrimSpace(k.Value) == "" || isNull(k) && k.Value != "null":
		return "a value stands here without its key", "write key: value"
	case utf8.RuneCountInString(k.Value) > MaxName:
		return fmt.Sprintf("the key %s is longer than %d characters", measure.Quote(k.Value), MaxName), "a short one, such as half-inch ball"
	case strings.TrimSpace(k.Value) != k.Value || strings.IndexFunc(k.Value, isUnprintable) >= 0:
		return "the key " + measure.Quote(k.Value) + " holds blanks at its ends or characters that cannot be printed", "write it again in plain letters"
	}
	return "", ""
}

// isUnprintable reports a rune that does not show as itself on one line.
func isUnprintable(r rune) bool { return !unicode.IsPrint(r) }

// checkKeys records faulty keys and keys that stand twice.
func (d *Document) checkKeys(n *yaml.Node) {
	first := make(map[string]int, len(n.Content)/2)
	for i := 0; i+1 < len(n.Content); i += 2 {
		k := n.Content[i]
		if message, hint := keyFault(k); message != "" {
			d.add(d.posOf(k), message, hint)
			continue
		}
		if line, twice := first[k.Value]; twice {
			d.add(d.posOf(k), fmt.Sprintf("the key %s stands here again; it is on line %d already", measure.Quote(k.Value), line), "keep one of the two")
			continue
		}
		first[k.Value] = k.Line
	}
}

// newMap returns the map of a node whose form has been checked: keys that are
// faulty or stand a second time are left out.
func newMap(d *Document, n *yaml.Node, label, path string) *Map {
	m := &Map{doc: d, label: label, path: path, pos: d.posOf(n), index: make(map[string]int, len(n.Content)/2)}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k := n.Content[i]
		if message, _ := keyFault(k); message != "" {
			continue
		}
		if _, twice := m.index[k.Value]; twice {
			continue
		}
		m.index[k.Value] = len(m.entries)
		m.entries = append(m.entries, entry{k.Value, d.posOf(k), k, n.Content[i+1]})
	}
	return m
}

// below returns the way to what stands under a key or number of a holder.
func below(holder, name string) string {
	if holder == "" {
		return name
	}
	return holder + "/" + name
}

// OwnPos returns the place of the map itself.
func (m *Map) OwnPos() Pos { return m.pos }

// Keys returns the keys in the order of the file.
func (m *Map) Keys() []string {
	keys := make([]string, len(m.entries))
	for i, e := range m.entries {
		keys[i] = e.key
	}
	return keys
}

// Has reports whether the key is there, with a value or without.
func (m *Map) Has(key string) bool {
	_, ok := m.index[key]
	return ok
}

// KeyPos returns the place of a key, or of the map where the key is absent.
func (m *Map) KeyPos(key string) Pos {
	if i, ok := m.index[key]; ok {
		return m.entries[i].pos
	}
	return m.pos
}

// Pos returns the place of a key's value, of the key where it has no value, or
// of the map where the key is absent.
func (m *Map) Pos(key string) Pos {
	i, ok := m.index[key]
	if !ok {
		return m.pos
	}
	return m.doc.valuePos(m.entries[i].value, m.entries[i].pos)
}

// valuePos returns where a value stands; one that is not written stands nowhere.
func (d *Document) valuePos(n *yaml.Node, key Pos) Pos {
	if n.Value == "" && isNull(n) {
		return key
	}
	return d.posOf(n)
}

// inLabel returns " in "label"" for messages about a map that stands under a key.
func (m *Map) inLabel() string {
	if m.label == "" {
		return ""
	}
	return " in " + measure.Quote(m.label)
}

// Allow declares every key that the map may have. Each other one is a fault,
// with the nearest allowed key as its hint.
func (m *Map) Allow(keys ...string) {
	known := make(map[string]bool, len(keys))
	for _, k := range keys {
		known[k] = true
	}
	for _, e := range m.entries {
		if known[e.key] {
			continue
		}
		hint := ""
		if len(m.doc.faults) < maxKept { // no one reads the hints beyond
			hint = SuggestKey(e.key, keys, "the keys here are")
		}
		m.doc.add(e.pos, "the key "+measure.Quote(e.key)+" is not known"+m.inLabel(), hint)
	}
}

// Require records a fault where a key is absent; its hint shows the key with
// the example, a value as it would be written. It reports whether the key is there.
func (m *Map) Require(key, example string) bool {
	if m.Has(key) {
		return true
	}
	m.doc.add(m.pos, "the key "+measure.Quote(key)+" is missing"+m.inLabel(), "add "+key+": "+example)
	return false
}

// Value returns the value of a key, to be asked what it is. It is false where
// the key is absent, or was found faulty already, or has no value; the last is
// recorded.
func (m *Map) Value(key string) (*Value, bool) {
	i, ok := m.index[key]
	if !ok || m.doc.faulty[m.entries[i].value] {
		return nil, false
	}
	e := m.entries[i]
	v := &Value{m.doc, e.value, e.key, below(m.path, e.key), m.doc.valuePos(e.value, e.pos)}
	if isNull(e.value) {
		v.fault("has no value", "write "+measure.Shorten(e.key)+": and a value, or remove the key")
		return nil, false
	}
	return v, true
}

// Written returns the text of the single value under the key as it stands; it is empty
// where there is none. It records nothing.
func (m *Map) Written(key string) string {
	if i, ok := m.index[key]; ok && m.entries[i].value.Kind == yaml.ScalarNode {
		return m.entries[i].value.Value
	}
	return ""
}

// get is what every typed getter of a map does.
func get[T any](m *Map, key string, read func(*Value) (T, bool)) (T, bool) {
	v, ok := m.Value(key)
	if !ok {
		var none T
		return none, false
	}
	return read(v)
}

// Length returns the length that stands under the key.
func (m *Map) Length(key string) (measure.Length, bool) { return get(m, key, (*Value).Length) }

// PeekLength returns the length that stands under the key. It records nothing: hints are
// given in sight of what the rest of the file says.
func (m *Map) PeekLength(key string) (measure.Length, bool) {
	v, err := measure.ParseLength(m.Written(key))
	return v, err == nil
}

// Number returns the number without a unit that stands under the key.
func (m *Map) Number(key string) (float64, bool) { return get(m, key, (*Value).Number) }

// Text returns the text that stands under the key.
func (m *Map) Text(key string) (string, bool) { return get(m, key, (*Value).Text) }

// LongText returns the text of at most maxRunes characters under the key.
func (m *Map) LongText(key string, maxRunes int) (string, bool) {
	return get(m, key, func(v *Value) (string, bool) { return v.LongText(maxRunes) })
}

// Word returns the word under the key, one of those allowed.
func (m *Map) Word(key string, allowed ...string) (string, bool) {
	return get(m, key, func(v *Value) (string, bool) { return v.Word(allowed...) })
}

// YesNo returns the yes or no that stands under the key.
func (m *Map) YesNo(key string) (yes, ok bool) { return get(m, key, (*Value).YesNo) }

// Angle returns the angle under the key, in radians.
func (m *Map) Angle(key string) (float64, bool) { return get(m, key, (*Value).Angle) }

// Map returns the map that stands under the key.
func (m *Map) Map(key string) (*Map, bool) { return get(m, key, (*Value).Map) }

// List returns the entries of the list that stands under the key.
func (m *Map) List(key string) ([]*Value, bool) { return get(m, key, (*Value).List) }
