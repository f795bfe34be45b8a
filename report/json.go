package report

import (
	"encoding/json"
	"io"
	"math"
	"reflect"
	"strconv"
)

// JSON writes the comparison as one object, every number with six digits.
func (c *Comparison) JSON(w io.Writer) error { return writeJSON(w, c) }

// writeJSON writes a value as one object. Numbers keep six digits, so that the last bits of a sum do not show; a number that is not
// finite is an error.
func writeJSON[T any](w io.Writer, value *T) error {
	data, err := json.Marshal(value)
	if err != nil {
		return err
	}
	var rounded T
	if err := json.Unmarshal(data, &rounded); err != nil {
		return err
	}
	roundAll(reflect.ValueOf(&rounded).Elem())
	out := json.NewEncoder(w)
	out.SetIndent("", " ")
	out.SetEscapeHTML(false)
	return out.Encode(rounded)
}

// roundAll rounds every float64 that can be reached.
func roundAll(v reflect.Value) {
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(six(v.Float()))
	case reflect.Pointer:
		if !v.IsNil() {
			roundAll(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			roundAll(v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			roundAll(v.Index(i))
		}
	case reflect.Map:
		for _, key := range v.MapKeys() { // what is in a map cannot be set in place
			x := reflect.New(v.Type().Elem()).Elem()
			x.Set(v.MapIndex(key))
			roundAll(x)
			v.SetMapIndex(key, x)
		}
	}
}

// six keeps six digits.
func six(x float64) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return x
	}
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
	if err != nil {
		panic("report: " + err.Error())
	}
	return y
}
