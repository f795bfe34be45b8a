package web

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"whatbout/internal/input"
)

// queryWriter writes keys in the order that they are given in.
type queryWriter struct{ strings.Builder }

func (w *queryWriter) word(key, word string) {
	if word != "" {
		w.WriteString("&" + key + "=" + strings.NewReplacer("%2F", "/", "%3A", ":").Replace(url.QueryEscape(word)))
	}
}

func (w *queryWriter) words(key string, words []string) {
	for _, word := range words {
		w.word(key, word)
	}
}

// queryReader takes keys out of a query; what is left at the end is a fault.
type queryReader struct {
	values url.Values
	faults input.Faults
}

func (r *queryReader) fault(what, want string) {
	r.faults.Add(input.Fault{File: "the address", What: what, Want: want})
}

// word is a key that stands once.
func (r *queryReader) word(key string) string {
	all := r.many(key, 1)
	if len(all) == 0 {
		return ""
	}
	return all[0]
}

// many is a key that may be repeated.
func (r *queryReader) many(key string, most int) (out []string) {
	for _, x := range r.values[key] {
		if x != "" {
			out = append(out, x)
		}
	}
	delete(r.values, key)
	if len(out) > most {
		r.fault(fmt.Sprintf("%s stands %d times", key, len(out)), fmt.Sprintf("at most %d", most))
		out = out[:most]
	}
	return out
}

func (r *queryReader) whole(key string, instead, from, to int) int {
	word := r.word(key)
	if word == "" {
		return instead
	}
	x, err := strconv.Atoi(word)
	if err != nil || x < from || x > to {
		r.fault(fmt.Sprintf("%s=%.40q", key, word), fmt.Sprintf("a whole number from %d to %d", from, to))
		return instead
	}
	return x
}

func (r *queryReader) seed() uint64 {
	word := r.word("seed")
	if word == "" {
		return usual.Seed
	}
	x, err := strconv.ParseUint(word, 10, 64)
	if err != nil {
		r.fault(fmt.Sprintf("seed=%.40q", word), "a whole number from 0")
	}
	return x
}

func (r *queryReader) way(prefix string) (y Way) {
	y.Tactics = r.tactics(prefix)
	for _, word := range r.many(prefix+"set", mostMoved) {
		m, err := parseMoved(word)
		if err != nil {
			r.fault(fmt.Sprintf("%sset=%.60q: %v", prefix, word, err), "such as set=own.bites.hip:4")
			continue
		}
		y.Moved = append(y.Moved, m)
	}
	slices.SortFunc(y.Moved, Moved.compare)
	for i := 1; i < len(y.Moved); i++ {
		if y.Moved[i].Name() == y.Moved[i-1].Name() {
			r.fault(prefix+"set has "+y.Moved[i].Name()+" twice", "each dial of a fighter once")
		}
	}
	return y
}

func (r *queryReader) tactics(prefix string) (t Tactics) {
	t.Plan = r.word(prefix + "plan")
	for _, word := range r.many(prefix+"without", 64) {
		i, err := strconv.Atoi(word)
		if err != nil || i < 1 {
			r.fault(fmt.Sprintf("%swithout=%.40q", prefix, word), "the number of a rule of the plan, from 1")
			continue
		}
		t.Without = append(t.Without, i)
	}
	slices.Sort(t.Without)
	t.Without = slices.Compact(t.Without)
	if t.Plan == "" {
		t.Without = nil
	}
	t.Phrases = r.many(prefix+"rule", mostPhrases)
	slices.Sort(t.Phrases)
	t.Phrases = slices.Compact(t.Phrases)
	return t
}

// rest names keys that nothing asked for. A token that was not taken away belongs to the guard.
func (r *queryReader) rest() {
	keys := make([]string, 0, len(r.values))
	for key := range r.values {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	for _, key := range keys {
		r.faults.Add(input.Fault{File: "the address", What: fmt.Sprintf("%.40q is not known", key), Hint: input.DidYouMean(key, stateKeys)})
	}
}

var stateKeys = []string{"fighter", "opponent", "plan", "without", "rule", "set", "reply-plan", "reply-without", "reply-rule", "rules", "seed", "draws", "bouts",
	"show", "pin", "pin-plan", "pin-without", "pin-rule", "pin-set"}
