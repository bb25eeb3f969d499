package keys

import (
	"cmp"
	"maps"
	"strconv"
	"strings"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// Reader reads the values of one document by the catalogue of its keys. Whatever is missing,
// out of its bounds or none of its words is a fault of the document, at its place; what is
// left out is taken as the catalogue says, and told in Taken.
type Reader struct {
	Doc    *strict.Document
	In     *Catalogue
	Form   string                // of the file, once that is known: some keys are otherwise in it
	Taken  []Default             // in the order in which they were taken
	Places map[string]strict.Pos // of the keys of every section that was opened, by the way to each; entries of lists count from 0
	Inches bool                  // is a length that tells the builder's rule (Key.Rule) in inches or feet?
	Ruled  bool                  // does the file have such a length at all?

	Label  func(way string) string // what messages call a value, by the way to it; nil for the last part of that
	Bounds func(k Key) string      // how the bounds of a key are told; nil for the unit of the value and the words of the catalogue
}

// NewReader returns the reader of a document, which then knows what stands where.
func NewReader(doc *strict.Document, in *Catalogue) *Reader {
	doc.Expect(in.Expected)
	r := &Reader{Doc: doc, In: in, Places: map[string]strict.Pos{}}
	for _, k := range in.all {
		if k.Rule {
			r.rule(doc.Root(), k)
		}
	}
	return r
}

// ruler writes lengths in the builder's unit.
func (r *Reader) ruler() measure.Ruler { return measure.Ruler{Inches: r.Inches} }

// rule looks in what unit a length that tells the builder's rule is written, if it is there.
func (r *Reader) rule(m *strict.Map, k Key) {
	parts := strings.Split(k.Path, "/")
	for _, holder := range parts[:len(parts)-1] {
		var ok bool
		if m, ok = m.Peek(holder); !ok {
			return
		}
	}
	if l, ok := m.PeekLength(parts[len(parts)-1]); ok {
		r.Ruled, r.Inches = true, r.Inches || l.Unit.Imperial()
	}
}

// Root returns the section that is the file itself, in which keys of the forms may stand.
func (r *Reader) Root(forms ...string) *Section {
	return r.open(r.Doc.Root(), "", "", forms)
}

// open returns the section of a map that stands at a path of the catalogue.
func (r *Reader) open(m *strict.Map, path, way string, forms []string) *Section {
	if _, named := r.In.at[below(path, "*")]; !named {
		m.Allow(r.In.Under(path, forms...)...)
	}
	s := &Section{Map: m, r: r, path: path, way: way}
	for _, name := range m.Keys() {
		r.Places[below(way, name)] = m.Pos(name)
	}
	return s
}

func below(holder, name string) string {
	if holder == "" {
		return name
	}
	return holder + "/" + name
}

// Section is a map of the document that stands at a path of the catalogue. Its getters take
// names that the catalogue has there, and panic at others. What is absent and needed is a
// fault; what is absent and has a default that can be read is taken, and told.
type Section struct {
	*strict.Map
	r    *Reader
	path string // in the catalogue
	way  string // in the file
	like map[string]string

	absent bool // is there no such map in the file?
}

// Key returns the key of a name in the section, as files of the reader's form have it.
func (s *Section) Key(name string) Key {
	i, ok := s.r.In.at[below(s.path, name)]
	if !ok {
		if i, ok = s.r.In.at[below(s.path, "*")]; !ok {
			panic("keys: no key " + below(s.path, name))
		}
	}
	return s.r.In.all[i].As(s.r.Form)
}

// Fault records a fault at the value of a key.
func (s *Section) Fault(name, message, hint string) { s.r.Doc.Fault(s.Pos(name), message, hint) }

// FaultAtKey records a fault at a key itself: that it is there is wrong.
func (s *Section) FaultAtKey(name, message, hint string) {
	s.r.Doc.Fault(s.KeyPos(name), message, hint)
}

// Like says what is suggested for keys that are missing, in place of their examples.
func (s *Section) Like(examples map[string]string) {
	if s.like == nil {
		s.like = map[string]string{}
	}
	maps.Copy(s.like, examples)
}

// Require records a fault where the key is absent. It reports whether it is there.
func (s *Section) Require(name string) bool {
	example, ok := s.like[name]
	if !ok {
		example = s.r.ruler().Like(s.Key(name).Example)
	}
	return s.Map.Require(name, example)
}

// Stands reports whether the key is there; one that is needed and is not is a fault.
func (s *Section) Stands(name string) bool {
	if s.Key(name).Needed && !s.absent {
		return s.Require(name)
	}
	return s.Has(name)
}

// Took notes what was taken for a key that is left out, for the reason of the catalogue; of a
// key whose default is not told nothing is noted.
func (s *Section) Took(name, value string) {
	k := s.Key(name)
	told, why := k.Told, k.Why
	if told == "" && s.path == "" {
		told = k.Path
	}
	if k.Without != "" {
		why += "; " + k.Without
	}
	if told != "" && !s.absent {
		s.r.Take(told, value, why)
	}
}

// Take notes what was taken for something that is left out, and why.
func (r *Reader) Take(key, value, why string) {
	r.Taken = append(r.Taken, Default{Key: key, Value: value, Why: why})
}

// Section returns the section that stands under the key, with keys of the forms; false where
// there is none, or one of too many names.
func (s *Section) Section(name string, forms ...string) (*Section, bool) {
	if !s.Stands(name) {
		return nil, false
	}
	m, ok := s.Map.Map(name)
	if !ok || !s.enough(name, len(m.Keys())) {
		return nil, false
	}
	return s.open(m, name, forms), true
}

func (s *Section) open(m *strict.Map, name string, forms []string) *Section {
	return s.r.open(m, s.Key(name).Path, below(s.way, name), forms)
}

// SectionOrEmpty is Section that returns an empty one where the key is absent and not needed.
func (s *Section) SectionOrEmpty(name string, forms ...string) (*Section, bool) {
	if s.Has(name) || s.Key(name).Needed {
		return s.Section(name, forms...)
	}
	m, _ := s.MapOrEmpty(name)
	return s.open(m, name, nil), true
}

// In is Section that returns one in which nothing stands where there is none: what is needed
// in it is not missed, and what is taken for the rest is not told.
func (s *Section) In(name string, forms ...string) *Section {
	if m, ok := s.Section(name, forms...); ok {
		return m
	}
	m := s.open(&strict.Map{}, name, nil)
	m.absent = true
	return m
}

// Main returns the section under a key, and the number under the main one of its own, which
// may stand alone in place of the section; false where there is neither.
func (s *Section) Main(name, main string) (n float64, m *Section, ok bool) {
	if v, ok := s.Value(name); !ok {
		return 0, nil, false
	} else if v.IsMap() {
		if m, ok = s.Section(name); ok {
			n = m.Amount(main)
		}
		return n, m, ok
	}
	return s.Amount(name), s.open(&strict.Map{}, name, nil), true
}

// Entries returns the entries of the list under the key; false where there is none, or one of
// too few or too many.
func (s *Section) Entries(name string) ([]*strict.Value, bool) {
	if !s.Stands(name) {
		return nil, false
	}
	list, ok := s.List(name)
	return list, ok && s.enough(name, len(list))
}

// enough records a fault where a list or a map of names has too few or too many entries.
func (s *Section) enough(name string, n int) bool {
	k := s.Key(name)
	if k.Entries == 0 || n >= k.Fewest && n <= k.Entries {
		return true
	}
	most := strconv.Itoa(k.Entries)
	k.Beyond, k.Within = cmp.Or(k.Beyond, "%s are too many"), cmp.Or(k.Within, "at most "+most)
	s.r.beyond(s.Pos(name), "", measure.Count(n, k.Counts), k, strconv.Itoa(k.Fewest)+" to "+most)
	return false
}

// EachSection calls f with every map of the list under the key, and its number from 0.
func (s *Section) EachSection(name string, f func(i int, m *Section)) {
	list, ok := s.Entries(name)
	if !ok {
		return
	}
	for i, v := range list {
		way := below(s.way, name) + "/" + strconv.Itoa(i)
		if m, ok := v.Map(); ok {
			s.r.Places[way] = m.OwnPos()
			f(i, s.r.open(m, s.Key(name).Path+"/#", way, nil))
		}
	}
}
