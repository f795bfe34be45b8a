package input

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

const (
	maxYAML  = 1 << 20 // a hundred times our own files; the lexer holds all the tokens at once, at worst one a byte
	maxDepth = 32      // our own files nest to 6 or so; the limit keeps recursion small
)

var (
	bom   = []byte("\xef\xbb\xbf")
	start = &Node{Line: 1, Column: 1} // where faults of a whole file are put
)

// Doc is one YAML file and the faults found in it so far, by ParseYAML and by the readers of its maps.
// It is for one goroutine.
type Doc struct {
	file   string
	root   *Node
	flow   int // while walking: how many [] and {} are around the node
	faults Faults
}

// ParseYAML reads one YAML document whose root is a map: the plain part of YAML 1.2 without anchors, aliases, merge
// keys, tags and directives; UTF-8, a byte order mark allowed; at most 1 MiB, 100,000 words and signs, 32 levels and
// 10,000 keys a block map. White space at line ends inside text over several lines may be lost. file only names the file
// in faults, of which each has a line. The Doc is never nil; after faults it holds what could be read, so that its maps
// can still be checked. The faults returned are those of doc.Faults() at this moment.
func ParseYAML(file string, data []byte) (*Doc, Faults) {
	d := &Doc{file: file}
	d.parse(data)
	return d, d.Faults()
}

// Root gives the map at the root; after a fault that left none, a Map from which reading is silent.
func (d *Doc) Root() Map {
	if d.root == nil || d.root.Kind != KindMap {
		return Map{}
	}
	return Map{doc: d, node: d.root}
}

// Tree gives the root node, or nil after a fault that left none. It is not to be changed.
func (d *Doc) Tree() *Node { return d.root }

// File gives the name of the file as given to ParseYAML.
func (d *Doc) File() string { return d.file }

// Faults gives all the faults so far, those of the readers included, in the order of line and column.
func (d *Doc) Faults() Faults { return d.faults.sorted() }

func (d *Doc) fault(at *Node, what, want, hint string) {
	if at.Line < 1 { // the parser did not say
		at = start
	}
	d.faults.Add(Fault{d.file, at.Line, at.Column, what, want, hint})
}

func (d *Doc) parse(data []byte) {
	if len(data) > maxYAML {
		d.fault(start, fmt.Sprintf("the file has %d bytes", len(data)), fmt.Sprintf("at most %d", maxYAML), "")
		return
	}
	data = bytes.TrimPrefix(data, bom)
	if at, what := badBytes(data); what != "" {
		d.fault(at, what, "text in UTF-8", "")
		return
	}
	data = bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n"))
	if !bytes.HasSuffix(data, []byte("\n")) {
		data = append(data, '\n') // without it the parser does not fold the last line
	}
	file := d.syntax(string(data))
	if file == nil {
		return
	}
	d.walkFile(file)
}

// badBytes finds the first byte that is not UTF-8 or is a control character other than tab and line ends, which neither
// YAML 1.2.2 (section 5.1) nor RFC 4180 (section 2, TEXTDATA) has; what is "" when there is none.
func badBytes(data []byte) (at *Node, what string) {
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			what = fmt.Sprintf("byte 0x%02x is not UTF-8", data[i])
		case r == 0:
			what = "a NUL byte"
		case r < ' ' && r != '\t' && r != '\n' && r != '\r', r == 0x7f:
			what = fmt.Sprintf("control character %U", r)
		}
		if what != "" {
			begin := bytes.LastIndexByte(data[:i], '\n') + 1
			return &Node{Line: 1 + bytes.Count(data[:i], []byte("\n")), Column: 1 + utf8.RuneCount(data[begin:i])}, what
		}
		i += size
	}
	return nil, ""
}

// syntax gives nil after a fault that leaves no tree. The tokens are looked at first, because the parser stops at the
// first fault and recurses as deep as the file tells it to.
func (d *Doc) syntax(text string) (file *ast.File) {
	defer func() {
		if recover() != nil { // a guard, never seen to act: if the parser panics, to the user that is a fault like others
			d.fault(start, "the file is no YAML", "", "")
			file = nil
		}
	}()
	tokens := lexer.Tokenize(text)
	if !d.tokens(tokens) {
		return nil
	}
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		d.syntaxFault(err)
		return nil
	}
	return file
}

func (d *Doc) syntaxFault(err error) {
	at, what := start, err.Error()
	var located yaml.Error
	if errors.As(err, &located) {
		what = located.GetMessage()
		if tk := located.GetToken(); tk != nil {
			at = place(tk)
		}
	}
	what, _, _ = strings.Cut(what, "\n")
	d.fault(at, "no YAML: "+what, "", "")
}

func (d *Doc) tooDeep(at *Node) {
	d.fault(at, "values nest too deep", fmt.Sprintf("at most %d levels", maxDepth), "")
}

func place(tk *token.Token) *Node {
	if tk == nil || tk.Position == nil {
		return &Node{}
	}
	return &Node{Line: tk.Position.Line, Column: tk.Position.Column}
}
