package report

import "reflect"

// roundDeep keeps six digits of every float below a pointer, since the last bits of a sum differ between machines, and makes lists that hold
// nothing empty ones, so that JSON says [] and not null.
func roundDeep(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			roundDeep(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			roundDeep(v.Field(i))
		}
	case reflect.Slice:
		if v.IsNil() {
			v.Set(reflect.MakeSlice(v.Type(), 0, 0))
		}
		fallthrough
	case reflect.Array:
		for i := range v.Len() {
			roundDeep(v.Index(i))
		}
	case reflect.Float64:
		v.SetFloat(six(v.Float()))
	}
}
