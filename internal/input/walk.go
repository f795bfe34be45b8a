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
			at := place(doc.Start)
			if doc.Start == nil { // after "..." the mark of a beginning may be missing
				at = place(doc.Body.GetToken())
			}
			d.fault(at, "a further document in the file", "one document", "keep one document a file")
			return
		case doc.Body != nil:
			body = doc.Body
		}
	}
	if body == nil || body.Type() == ast.CommentType || body.Type() == ast.DirectiveType {
		d.fault(start, "the file is empty", "a map", "")
		return
	}
	d.root = d.walk(body, start, 1)
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
		d.inFlow(v.IsFlowStyle, func() { d.walkMap(out, v.Values, depth) })
	case *ast.MappingValueNode:
		d.walkMap(out, []*ast.MappingValueNode{v}, depth)
	case *ast.SequenceNode:
		d.inFlow(v.IsFlowStyle, func() { d.walkList(out, v, depth) })
	case *ast.AnchorNode: // the fault is already told; what is behind it is still checked
		return d.walk(v.Value, from, depth+1)
	case *ast.TagNode:
		return d.walk(v.Value, from, depth+1)
	default:
		d.walkScalar(out, n)
	}
	return out
}

func (d *Doc) inFlow(flow bool, walk func()) {
	if flow {
		d.flow++
		defer func() { d.flow-- }()
	}
	walk()
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
		if d.flow == 0 && flush(v, key, value) {
			d.fault(value, fmt.Sprintf("the value of %q is not indented", key.Text), "more spaces than before the key", "")
		}
		if _, twice := out.index[key.Text]; twice {
			d.fault(key, fmt.Sprintf("key %q stands twice in the map", key.Text), "each key once", "")
			continue
		}
		out.index[key.Text] = value
		out.Keys = append(out.Keys, Entry{*key, value})
	}
}

// flush tells a scalar under its key that is not indented further, against YAML 1.2.2, section 8.2.2; the parser takes it
// all the same. Values of a key after "? " have a colon of their own.
func flush(pair *ast.MappingValueNode, key, value *Node) bool {
	_, long := pair.Key.(*ast.MappingKeyNode)
	return !long && value.Kind == KindScalar && value.Line > key.Line && value.Column <= key.Column
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
		dash := entry(list, i)
		if dash == nil {
			dash = out
		}
		item := d.walk(v, dash, depth+1)
		if d.flow == 0 && item.Line > dash.Line && item.Column <= dash.Column {
			// the parser takes the next key of the map around the list for a part of an empty item (YAML 1.2.2, section 8.2.1)
			d.fault(dash, "nothing stands behind the dash", "an item, indented further than its dash", "")
		}
		out.Items = append(out.Items, item)
	}
}

// entry gives the place of the dash before an item, or nil.
func entry(list *ast.SequenceNode, i int) *Node {
	if i < len(list.Entries) && list.Entries[i] != nil {
		if at := place(list.Entries[i].Start); at.Line > 0 {
			return at
		}
	}
	return nil
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
