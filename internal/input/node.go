package input

import "fmt"

// Kind says what a Node is.
type Kind uint8

// The kinds of nodes. Null is a key or an item with nothing behind it, null or ~.
const (
	KindNull Kind = iota
	KindScalar
	KindList
	KindMap
)

// Node is one value of a YAML file. Line and Column count from 1. Text and Quoted belong to scalars, where Quoted also
// covers block text; Keys belong to maps and Items to lists, in the order of the file.
type Node struct {
	Line, Column int
	Kind         Kind
	Text         string
	Quoted       bool
	Keys         []Entry
	Items        []*Node

	index map[string]*Node
}

// Entry is one key of a map with its value; of two equal keys the first counts and the second is a fault.
type Entry struct {
	Key   Node
	Value *Node
}

func (n *Node) find(key string) *Node { return n.index[key] }

// describe names a node for the message of a fault, in few words however long the text.
func (n *Node) describe() string {
	switch n.Kind {
	case KindMap:
		return "a map"
	case KindList:
		return "a list"
	case KindNull:
		return "empty"
	}
	if text := []rune(n.Text); len(text) > 40 {
		return fmt.Sprintf("%q...", string(text[:40]))
	}
	return fmt.Sprintf("%q", n.Text)
}
