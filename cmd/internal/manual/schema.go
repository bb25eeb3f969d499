package manual

import (
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/job/key"
	"dishwright/dish/measure/keys"
	"dishwright/machines"
)

// Schema returns the JSON Schema (draft 2020-12) of a job file of the catalogue, with which editors
// complete and check one as it is written. It knows keys, words, units and what must
// be there; whether numbers make sense is for the program to say.
func Schema(c *keys.Catalogue) map[string]any {
	s := object(c, "", nil)
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = "A job file of dishwright"
	var rules []any
	form, _ := c.Find("form")
	for _, word := range form.Words {
		rules = append(rules, rule(c, word))
	}
	s["allOf"] = rules
	return s
}

// ProfileSchema returns the JSON Schema of a machine profile.
func ProfileSchema() map[string]any {
	c := machines.Keys()
	var need []string
	for _, k := range c.All() {
		if k.Needed && k.Parent() == "" {
			need = append(need, k.Path)
		}
	}
	s := object(c, "", need)
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = "A machine profile of dishwright"
	return s
}

// ShopSchema returns the JSON Schema of a shop file.
func ShopSchema() map[string]any {
	s := object(key.Shops(job.Keys()), "", nil)
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = "A shop file of dishwright"
	return s
}

// rule says what jobs of one form must have and may not have.
func rule(c *keys.Catalogue, form string) map[string]any {
	when := map[string]any{"properties": map[string]any{"form": map[string]any{"const": form}}}
	if form != key.Dish { // which it is where no form is stated
		when["required"] = []string{"form"}
	}
	var need []string
	forbidden := map[string]any{}
	for _, k := range c.All() {
		if k.Parent() != "" {
			continue
		}
		own := k.For(form) || form == key.Rim && k.For(key.Mould)
		switch {
		case !own:
			forbidden[k.Path] = false
			if k.Former != "" {
				forbidden[k.Former] = false
			}
		case k.As(form).Needed && k.For(form) && !k.Shop: // which a shop file may hold
			need = append(need, k.Path)
		}
	}
	return map[string]any{"if": when, "then": map[string]any{"required": need, "properties": forbidden}}
}

// object is the schema of what a path holds; need are the keys that must be there.
func object(c *keys.Catalogue, path string, need []string) map[string]any {
	fields := map[string]any{}
	s := map[string]any{"type": "object", "additionalProperties": false}
	for _, k := range c.All() {
		if k.Parent() != path || k.Path == path {
			continue
		}
		switch k.Name() {
		case "*":
			s["additionalProperties"] = value(c, k)
		case "#":
		default:
			fields[k.Name()] = value(c, k)
			if k.Former != "" {
				fields[k.Former] = former(c, k)
			}
			if k.Needed && path != "" {
				need = append(need, k.Name())
			}
		}
	}
	if len(fields) > 0 {
		s["properties"] = fields
	}
	if len(need) > 0 {
		s["required"] = need
	}
	return s
}

// Patterns of what people write. They let through whatever the program reads, and
// keep out a number without its unit.
const (
	lengthPattern = `^\s*[-+]?\s*[0-9.][0-9.,/ -]*[A-Za-z"'].*$`
	anglePattern  = `[0-9].*[a-zA-Z]`
)

// value is the schema of what stands under a key.
func value(c *keys.Catalogue, k keys.Key) map[string]any {
	var any_ []any
	for _, kind := range k.Kinds {
		any_ = append(any_, kindOf(c, k, kind))
	}
	if !k.Is(key.Word) && len(k.Words) > 0 {
		any_ = append(any_, map[string]any{"enum": k.Words})
	}
	s := map[string]any{"anyOf": any_}
	if len(any_) == 1 {
		s = any_[0].(map[string]any)
	}
	s["description"] = about(k)
	if k.Is(key.Length) || k.Is(key.Number) || k.Is(key.Whole) || k.Is(key.Angle) || k.Is(key.Time) || k.Is(keys.Feed) || k.Is(keys.Acceleration) {
		s["examples"] = []string{k.Example}
	}
	return s
}

// former is the schema of a key under the name that it had once.
func former(c *keys.Catalogue, k keys.Key) map[string]any {
	s := value(c, k)
	s["deprecated"], s["description"] = true, "The former name of "+k.Path+", still read."
	return s
}

// about is the description that an editor shows.
func about(k keys.Key) string {
	s := k.About + " Takes " + Takes(k) + "."
	if k.Default != "" {
		s += " Left out: " + Absent(k) + "."
	}
	return s
}

// kindOf is the schema of one kind of value.
func kindOf(c *keys.Catalogue, k keys.Key, kind keys.Kind) map[string]any {
	switch kind {
	case key.Length:
		return map[string]any{"type": "string", "pattern": lengthPattern}
	case key.Number, key.Whole:
		s := map[string]any{"type": "number"}
		if kind == key.Whole {
			s["type"] = "integer"
		}
		if k.Most > 0 {
			s["minimum"], s["maximum"] = k.Least, k.Most
		}
		return s
	case keys.YesNo:
		return map[string]any{"enum": []any{"yes", "no", true, false}} // YAML of old takes the words for truths
	case key.Angle, key.Slope, key.Time, keys.Feed, keys.Acceleration:
		return map[string]any{"type": "string", "pattern": anglePattern}
	case key.Word:
		return map[string]any{"enum": k.Words}
	case key.Map:
		return object(c, k.Path, nil)
	case key.List:
		entry := map[string]any{}
		if inner, ok := c.Find(k.Path + "/#"); ok && strings.HasSuffix(inner.Path, "/#") {
			entry = value(c, inner)
		}
		return map[string]any{"type": "array", "items": entry}
	case key.Place:
		return map[string]any{"type": "array", "minItems": 2, "maxItems": 2, "items": map[string]any{"type": []string{"string", "number"}}}
	}
	return map[string]any{"type": []string{"string", "number", "boolean"}} // words; YAML takes some for numbers
}
