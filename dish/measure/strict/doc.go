// Package strict reads YAML and forgives nothing: every fault of a file is
// collected with its line and column, what is wrong, and a hint, and all of them
// are reported at once.
//
// In come the bytes of one file. Open checks their form (size, characters, one
// document, no anchors, no tags, no key twice) and returns a Document, whose
// maps are then asked for what they must hold:
//
//	doc, err := strict.Open("dish.yaml", data)
//	if err != nil {
//		return err
//	}
//	m := doc.Root()
//	m.Allow("name", "radius")
//	m.Require("radius", "25 ft")
//	if r, ok := m.Length("radius"); ok && r.MM <= 0 {
//		doc.Fault(m.Pos("radius"), "the radius must be above zero", "")
//	}
//	return doc.Err()
//
// ReadFile and OpenFile are the one way to the user's files; HasRead tells which were read.
//
// A file may lie over another, which says what it does not (Former.Over): every value and
// fault then knows its own file.
//
// A getter of a key that is absent, or that has been found faulty already,
// returns false and records nothing: whether a key is needed is for Require to
// say. No input makes the package panic, hang or fill the memory: a file is at
// most MaxBytes long, at most MaxDepth deep, and aliases are never followed.
package strict
