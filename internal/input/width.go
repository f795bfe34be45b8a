package input

import "github.com/goccy/go-yaml/token"

// maxKeys is far above our own files; the parser's time grows with the square of the keys of a block map.
const maxKeys = 10000

// widths counts the keys of the block maps that are open, by the column where their keys stand.
type widths []struct{ column, keys int }

// next takes the tokens outside [] and {} in turn, each with the one before it; false when a map has too many keys.
func (w *widths) next(before, tk *token.Token) bool {
	switch {
	case tk.Type == token.SequenceEntryType:
		w.closeAfter(place(tk).Column)
	case tk.Type == token.MappingKeyType:
		return w.count(place(tk).Column)
	case tk.Type == token.MappingValueType && before != nil:
		return w.count(place(before).Column)
	}
	return true
}

func (w *widths) count(column int) bool {
	w.closeAfter(column)
	if last := len(*w) - 1; last < 0 || (*w)[last].column < column {
		*w = append(*w, struct{ column, keys int }{column, 0})
	}
	top := &(*w)[len(*w)-1]
	top.keys++
	return top.keys <= maxKeys
}

func (w *widths) closeAfter(column int) {
	for len(*w) > 0 && (*w)[len(*w)-1].column > column {
		*w = (*w)[:len(*w)-1]
	}
}
