package job

import (
	"slices"
	"strings"

	"dishwright/cam/job/key"
	"dishwright/dish/measure/keys"
	"dishwright/dish/measure/strict"
)

// Source is what a job is read from: its file, the shop file that lies under it, and the
// changes of the call.
type Source struct {
	File    string // the name in messages; paths in it are relative to its folder
	Data    []byte
	Shop    *Shop // nil for none
	Changes []strict.Change
	Forms   []Form // more than are known
}

// catalogue returns the catalogue of the keys that the job may have.
func (s Source) catalogue() *keys.Catalogue { return Keys(s.Forms...) }

// Load reads the job. The error is strict.Faults: everything that is wrong with the
// files at once.
func (s Source) Load() (Job, error) {
	doc, err := s.open()
	if err != nil {
		return Job{}, err
	}
	forms := append(slices.Clone(known), s.Forms...)
	var words []string
	for _, f := range forms {
		words = append(words, f.Word())
	}
	l := newReader(s.File, doc, s.catalogue(), words...)
	l.all(forms)
	if err := doc.Err(); err != nil {
		return Job{}, err
	}
	l.finish()
	l.Job.Shop, l.Job.Values = s.Shop.Name(), s.values(l.Root.Map, l.Job.Defaults)
	return l.Job, nil
}

// LoadRim reads the job of a rim; the error is as for Load.
func (s Source) LoadRim() (Rim, error) {
	doc, err := s.open()
	if err != nil {
		return Rim{}, err
	}
	l := &rimLoader{Reader: newReader(s.File, doc, s.catalogue(), key.Rim, key.Mould), rim: Rim{File: s.File}}
	l.all()
	if err := doc.Err(); err != nil {
		return Rim{}, err
	}
	l.finish()
	r, j := l.rim, l.Job
	r.Inches = j.Ruler.Inches || r.Top.Radius.Unit.Imperial() || r.Back.Radius.Unit.Imperial()
	r.Ruler, r.Defaults, r.Warnings, r.places = j.Ruler, j.Defaults, j.Warnings, j.places
	r.Shop, r.Values = s.Shop.Name(), s.values(l.Root.Map, j.Defaults)
	if r.Mould != nil {
		r.Mould.Job.Shop, r.Mould.Job.Values, r.Mould.Job.Ruler = r.Shop, r.Values, r.Ruler
	}
	return r, nil
}

// Form returns the form that the job says it is of, dish where it says nothing; empty
// where that cannot be read, which Load tells.
func (s Source) Form() string {
	doc, err := strict.Former(s.catalogue().Former()).Open("", s.Data, s.Changes...)
	if err != nil {
		return ""
	}
	if !doc.Root().Has("form") {
		return key.Dish
	}
	form, _ := doc.Root().Word("form", wordsIn(s.catalogue())...)
	return form
}

// open reads the form of the files and puts the job over the shop file.
func (s Source) open() (*strict.Document, error) {
	c := s.catalogue()
	former := strict.Former(c.Former())
	if s.Shop == nil {
		return former.Open(s.File, s.Data, s.Changes...)
	}
	lower, bad := s.Shop.open(c)
	if bad != nil {
		_, err := former.Open(s.File, s.Data, s.Changes...)
		return nil, strict.Join(err, bad)
	}
	doc, err := former.Over(lower, s.File, s.Data, s.Changes...)
	if err == nil {
		s.Shop.fit(doc.Root(), c)
	}
	return doc, err
}

// Load reads the job in data, without a shop file. file is its name in messages and,
// where it has a folder, what a machine profile's path is relative to. The error is
// strict.Faults: everything that is wrong with the file at once. The changes are
// made before it is read.
func Load(file string, data []byte, changes ...strict.Change) (Job, error) {
	return Source{File: file, Data: data, Changes: changes}.Load()
}

// LoadRim reads the job of a rim; file, changes and error are as for Load.
func LoadRim(file string, data []byte, changes ...strict.Change) (Rim, error) {
	return Source{File: file, Data: data, Changes: changes}.LoadRim()
}

// The sources of a value.
const (
	FromJob     = "job"
	FromShop    = "shop"
	FromCall    = "call" // of the command
	FromDefault = "default"
)

// Value is a value that counts in a job, and where it comes from. File and Line are empty
// where it stands in no file.
type Value struct {
	Key    string `json:"key"` // the way to it, as a change names it; of a default as it is told
	Value  string `json:"value"`
	Source string `json:"source"`
	File   string `json:"file,omitempty"`
	Line   int    `json:"line,omitempty"`
}

// OfShop returns what came from the shop file, for a person: each key with its value, of
// the shelf the cutters' names.
func OfShop(values []Value) (list []string) {
	var cutters []string
	for _, v := range values {
		name, ofShelf := strings.CutPrefix(v.Key, "shelf/")
		switch i := strings.LastIndexByte(name, '/'); {
		case v.Source != FromShop:
		case !ofShelf:
			list = append(list, v.Key+": "+v.Value)
		case i > 0 && !slices.Contains(cutters, name[:i]):
			cutters = append(cutters, name[:i])
		}
	}
	if len(cutters) > 0 {
		list = append(list, "shelf: "+strings.Join(cutters, ", "))
	}
	return list
}

// values lists what is written, in the order in which it is read, and then what was taken
// for what is not.
func (s Source) values(root *strict.Map, defaults []Default) (list []Value) {
	for _, g := range root.Given() {
		v := Value{Key: g.Way, Value: g.Text, Source: FromJob, File: s.File, Line: g.Pos.Line}
		switch {
		case g.Pos.File == "":
		case g.Pos.File == s.Shop.Name():
			v.Source, v.File = FromShop, g.Pos.File
		default:
			v.Source, v.File, v.Line = FromCall, "", 0
		}
		list = append(list, v)
	}
	for _, d := range defaults {
		list = append(list, Value{Key: d.Key, Value: d.Value, Source: FromDefault})
	}
	return list
}
