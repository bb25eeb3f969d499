package tell

import (
	"math"
	"reflect"
)

// Tidy rounds every figure of the struct that v points to, and of all that it
// holds, to a millionth: more digits are noise, and would differ between machines. Fields
// that are not exported are told nowhere, and stay.
func Tidy(v any) { tidy(reflect.ValueOf(v)) }

func tidy(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			tidy(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				tidy(v.Field(i))
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			tidy(v.Index(i))
		}
	case reflect.Float64:
		v.SetFloat(math.Round(v.Float()*1e6)/1e6 + 0) // + 0: no minus zero
	}
}
