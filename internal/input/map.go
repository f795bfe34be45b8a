package input

import (
	"fmt"
	"strings"
	"time"
)

// Map reads the keys of one YAML map by type. A reader that finds something wrong adds a fault to the document and
// returns the zero value (the ...Or readers: the default), so that reading goes on and all faults are listed at once.
// Readers without a default call a missing key a fault. The Map of a fault is empty, and reading from it is silent.
type Map struct {
	doc  *Doc
	node *Node
	unit string
}

// In gives the same map, of which the faults of numbers name their unit, such as "m". Maps inside it are without it.
func (m Map) In(unit string) Map {
	m.unit = unit
	return m
}

// Has says whether the key stands in the map.
func (m Map) Has(key string) bool { return m.find(key) != nil }

// OK says whether the map is there at all: false for the Map that a fault left behind.
func (m Map) OK() bool { return m.node != nil }

// IsMap says whether a map stands behind the key; false too when the key is not there.
func (m Map) IsMap(key string) bool {
	n := m.find(key)
	return n != nil && n.Kind == KindMap
}

// Line is the line where the map begins, 0 when it is not there.
func (m Map) Line() int {
	if m.node == nil {
		return 0
	}
	return m.node.Line
}

// Keys gives the keys in the order of the file.
func (m Map) Keys() []string {
	var out []string
	if m.node != nil {
		for i := range m.node.Keys {
			out = append(out, m.node.Keys[i].Key.Text)
		}
	}
	return out
}

// Known adds a fault, with the nearest of the known keys, for every other key.
func (m Map) Known(keys ...string) {
	if m.node == nil {
		return
	}
	known := map[string]bool{}
	for _, k := range keys {
		known[k] = true
	}
	for i := range m.node.Keys {
		if k := &m.node.Keys[i].Key; !known[k.Text] {
			m.doc.fault(k, fmt.Sprintf("unknown key %q", k.Text), "", DidYouMean(k.Text, keys))
		}
	}
}

// Fault adds a fault of the caller's at the value of key, or at the map itself when the key is not there.
func (m Map) Fault(key, what, want, hint string) {
	if m.node == nil {
		return
	}
	at := m.find(key)
	if at == nil {
		at = m.node
	}
	m.doc.fault(at, what, want, hint)
}

// Map reads a map inside the map.
func (m Map) Map(key string) Map {
	n := m.need(key, "a map")
	if n == nil {
		return Map{}
	}
	return m.asMap(key, n)
}

// Maps reads a list of maps; a list that is empty is no fault. Items that are no maps are left out.
func (m Map) Maps(key string) []Map {
	n := m.need(key, "a list of maps")
	if n == nil {
		return nil
	}
	if n.Kind != KindList {
		m.wrong(key, n, "a list of maps", "")
		return nil
	}
	var out []Map
	for _, item := range n.Items {
		if one := m.asMap("an item of "+key, item); one.OK() {
			out = append(out, one)
		}
	}
	return out
}

func (m Map) asMap(key string, n *Node) Map {
	if n.Kind != KindMap {
		m.wrong(key, n, "a map", "")
		return Map{}
	}
	return Map{doc: m.doc, node: n}
}

func (m Map) find(key string) *Node {
	if m.node == nil {
		return nil
	}
	return m.node.find(key)
}

// need finds a key that must be there; its absence is a fault at the line of the map.
func (m Map) need(key, want string) *Node {
	n := m.find(key)
	if n == nil && m.node != nil {
		hint := ""
		if near := Nearest(key, m.Keys()); near != "" {
			hint = fmt.Sprintf("is %q meant for it?", near)
		}
		m.doc.fault(m.node, fmt.Sprintf("key %q is missing", key), want, hint)
	}
	return n
}

func (m Map) wrong(key string, n *Node, want, hint string) {
	m.doc.fault(n, fmt.Sprintf("%s is %s", key, n.describe()), want, hint)
}

// Text reads a scalar as it is written, without its quotes: 12 and "12" both give 12.
func (m Map) Text(key string) string { return read(m, key, "text", "", false, m.text) }

// TextOr is Text with a default for a key that is not there.
func (m Map) TextOr(key, def string) string { return read(m, key, "text", def, true, m.text) }

// Float reads a decimal number in [lo, hi]: no quotes, NaN, infinity, hexadecimal, leading zeros or underscores.
func (m Map) Float(key string, lo, hi float64) float64 {
	return read(m, key, floatWant(lo, hi, m.unit), 0, false, m.float(lo, hi))
}

// FloatOr is Float with a default, itself not held to [lo, hi], for a key that is not there.
func (m Map) FloatOr(key string, def, lo, hi float64) float64 {
	return read(m, key, floatWant(lo, hi, m.unit), def, true, m.float(lo, hi))
}

// Int reads a whole number in [lo, hi], written without point or exponent.
func (m Map) Int(key string, lo, hi int) int {
	return read(m, key, intWant(lo, hi, m.unit), 0, false, m.int(lo, hi))
}

// IntOr is Int with a default, itself not held to [lo, hi], for a key that is not there.
func (m Map) IntOr(key string, def, lo, hi int) int {
	return read(m, key, intWant(lo, hi, m.unit), def, true, m.int(lo, hi))
}

// Bool reads true or false.
func (m Map) Bool(key string) bool { return read(m, key, boolWant, false, false, m.bool) }

// BoolOr is Bool with a default for a key that is not there.
func (m Map) BoolOr(key string, def bool) bool { return read(m, key, boolWant, def, true, m.bool) }

// Word reads one of the allowed words; with none given, any text that is not empty.
func (m Map) Word(key string, allowed ...string) string {
	return read(m, key, wordWant(allowed), "", false, m.word(allowed))
}

// WordOr is Word with a default, itself not held to the allowed words, for a key that is not there.
func (m Map) WordOr(key, def string, allowed ...string) string {
	return read(m, key, wordWant(allowed), def, true, m.word(allowed))
}

// Words reads one word or a list of words, each one of those allowed; wrong ones are left out. An empty list is no fault.
func (m Map) Words(key string, allowed ...string) []string {
	return list(m, key, wordWant(allowed), m.word(allowed))
}

// Floats reads one number or a list of numbers as Float does; wrong ones are left out. An empty list is no fault.
func (m Map) Floats(key string, lo, hi float64) []float64 {
	return list(m, key, floatWant(lo, hi, m.unit), m.float(lo, hi))
}

// Date reads a day written as in 2024-05-31 (ISO 8601, calendar date), at midnight UTC; a fault gives the zero Time.
func (m Map) Date(key string) time.Time {
	return read(m, key, dateWant, time.Time{}, false, m.date)
}

// DateOr is Date with a default for a key that is not there.
func (m Map) DateOr(key string, def time.Time) time.Time {
	return read(m, key, dateWant, def, true, m.date)
}

func wordWant(allowed []string) string {
	switch {
	case len(allowed) == 0:
		return "a word"
	case len(allowed) <= 12:
		return "one of " + strings.Join(allowed, ", ")
	}
	return fmt.Sprintf("one of %d known words", len(allowed))
}
