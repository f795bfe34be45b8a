package input

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

func (d *Doc) walkFile(file *ast.File) {
	var body ast.Node
	for i, doc := range file.Docs {
		switch {
		case i > 0 && (doc.Body != nil || doc.Start != nil):
			d.fault(place(doc.Start), "a further document in the file", "one document", "keep one document a file")
			return
		case doc.Body != nil:
			body = doc.Body
		}
	}
	if body == nil || body.Type() == ast.CommentType || body.Type() == ast.DirectiveType {
		d.fault(&Node{}, "the file is empty", "a map", "")
		return
	}
	d.root = d.walk(body, &Node{Line: 1, Column: 1}, 1)
	if d.root.Kind != KindMap {
		d.fault(d.root, "the file is "+d.root.describe(), "a map", "")
	}
}

// walk turns a node of the parser's tree into ours. from lends its place to values that have none, such as empty ones.
func (d *Doc) walk(n ast.Node, from *Node, depth int) *Node {
	out := &Node{Line: from.Line, Column: from.Column}
	if depth > maxDepth {
		d.tooDeep(from)
		return out
	}
	switch v := n.(type) {
	case nil:
	case *ast.MappingNode:
		d.walkMap(out, v.Values, depth)
	case *ast.MappingValueNode:
		d.walkMap(out, []*ast.MappingValueNode{v}, depth)
	case *ast.SequenceNode:
		d.walkList(out, v, depth)
	case *ast.AnchorNode: // the fault is already told; what is behind it is still checked
		return d.walk(v.Value, from, depth+1)
	case *ast.TagNode:
		return d.walk(v.Value, from, depth+1)
	default:
		d.walkScalar(out, n)
	}
	return out
}

func (d *Doc) walkMap(out *Node, values []*ast.MappingValueNode, depth int) {
	out.Kind, out.index = KindMap, map[string]*Node{}
	for i, v := range values {
		key := d.walkKey(v.Key)
		if i == 0 && key.Line > 0 {
			out.Line, out.Column = key.Line, key.Column
		}
		value := d.walk(v.Value, key, depth+1)
		if key.Kind != KindScalar {
			continue
		}
		if _, twice := out.index[key.Text]; twice {
			d.fault(key, fmt.Sprintf("key %q stands twice in the map", key.Text), "each key once", "")
			continue
		}
		out.index[key.Text] = value
		out.Keys = append(out.Keys, Entry{*key, value})
	}
}

// walkKey gives a node of another kind than KindScalar for a key that is none, after a fault.
func (d *Doc) walkKey(k ast.MapKeyNode) *Node {
	out := place(k.GetToken())
	var n ast.Node = k
	if long, ok := k.(*ast.MappingKeyNode); ok {
		n = long.Value
	}
	switch n.(type) {
	case *ast.MergeKeyNode, *ast.AliasNode, *ast.AnchorNode, *ast.TagNode: // the tokens were faults already
		return out
	case nil, *ast.MappingNode, *ast.MappingValueNode, *ast.SequenceNode:
	default:
		d.walkScalar(out, n)
	}
	if out.Kind != KindScalar {
		d.fault(out, "a key that is no word", "a word before the colon", "")
	}
	return out
}

func (d *Doc) walkList(out *Node, list *ast.SequenceNode, depth int) {
	out.Kind = KindList
	if at := place(list.Start); at.Line > 0 {
		out.Line, out.Column = at.Line, at.Column
	}
	for i, v := range list.Values {
		from := out
		if i < len(list.Entries) && list.Entries[i] != nil {
			if at := place(list.Entries[i].Start); at.Line > 0 {
				from = at
			}
		}
		out.Items = append(out.Items, d.walk(v, from, depth+1))
	}
}

func (d *Doc) walkScalar(out *Node, n ast.Node) {
	tk := n.GetToken()
	if at := place(tk); at.Line > 0 && n.Type() != ast.NullType {
		out.Line, out.Column = at.Line, at.Column
	}
	out.Kind = KindScalar
	switch v := n.(type) {
	case *ast.NullNode, *ast.AliasNode, *ast.CommentGroupNode:
		out.Kind = KindNull
	case *ast.StringNode:
		out.Text = v.Value
		out.Quoted = tk.Type == token.SingleQuoteType || tk.Type == token.DoubleQuoteType
	case *ast.LiteralNode:
		out.Text, out.Quoted = v.Value.Value, true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		out.Text = strings.TrimSpace(tk.Value)
	default:
		out.Kind = KindNull
		d.fault(out, "a value of a kind that is not read here", "plain YAML", "")
	}
	if strings.ContainsRune(out.Text, 0) {
		d.fault(out, "a NUL character", "text", "")
	}
}
