package machines

import (
	"embed"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

//go:embed profiles/*.yaml
var profiles embed.FS

// builtins reads the embedded profiles, once, in the order of their names. A
// profile that cannot be read is a mistake of ours.
var builtins = sync.OnceValue(func() []Machine {
	entries, err := profiles.ReadDir("profiles")
	if err != nil {
		panic("machines: no embedded profiles: " + err.Error())
	}
	list := make([]Machine, 0, len(entries))
	for _, e := range entries {
		data, err := profiles.ReadFile("profiles/" + e.Name())
		if err != nil {
			panic("machines: an embedded profile is missing: " + err.Error())
		}
		m, err := Parse(e.Name(), data)
		if err != nil {
			panic("machines: an embedded profile is at fault: " + err.Error())
		}
		list = append(list, m)
	}
	return list
})

// BuiltinNames returns the names of the built-in machines, in alphabetical order.
func BuiltinNames() []string {
	list := builtins()
	names := make([]string, len(list))
	for i, m := range list {
		names[i] = m.Name
	}
	slices.Sort(names)
	return names
}

// Builtin returns the built-in machine of that name. The caller may change what
// it gets.
func Builtin(name string) (Machine, bool) {
	for _, m := range builtins() {
		if m.Name == name {
			return m.clone(), true
		}
	}
	return Machine{}, false
}

// ProfileText returns the text of the built-in profile of that name, as a start for
// a profile of the user's own.
func ProfileText(name string) ([]byte, bool) {
	if _, ok := Builtin(name); !ok {
		return nil, false
	}
	data, err := profiles.ReadFile("profiles/" + name + ".yaml")
	return data, err == nil
}

// Resolve returns the machine that a job file names: a built-in one, or the
// profile at a path, which is relative to the folder relativeTo (that of the job
// file; empty for the current one). A built-in name wins over a file of that
// name. What has neither a separator nor the ending .yaml or .yml is a name.
//
// The error is a *measure.Error for an unknown name, a strict.Fault for a file
// that cannot be read, and strict.Faults for one that holds faults.
func Resolve(nameOrPath, relativeTo string) (Machine, error) {
	if m, ok := Builtin(nameOrPath); ok {
		return m, nil
	}
	ending := strings.ToLower(filepath.Ext(nameOrPath))
	if !strings.ContainsAny(nameOrPath, `/\`) && ending != ".yaml" && ending != ".yml" {
		hint := "built in are " + strings.Join(BuiltinNames(), ", ") + "; a profile of your own is named by its file, like my-router.yaml"
		if nearest, ok := strict.Nearest(nameOrPath, BuiltinNames()); ok {
			hint = "did you mean " + nearest + "? " + hint
		}
		return Machine{}, &measure.Error{Message: "the machine " + measure.Quote(nameOrPath) + " is not known", Hint: hint}
	}
	file := nameOrPath
	if !filepath.IsAbs(file) {
		file = filepath.Join(relativeTo, file)
	}
	data, err := strict.ReadFile(file)
	if err != nil {
		return Machine{}, err
	}
	return Parse(file, data)
}

// clone returns a copy that shares nothing with m.
func (m Machine) clone() Machine {
	m.Collets = slices.Clone(m.Collets)
	m.Spindle.Dial = slices.Clone(m.Spindle.Dial)
	m.Defaults = slices.Clone(m.Defaults)
	if m.Hood != nil {
		h := *m.Hood
		m.Hood = &h
	}
	return m
}
