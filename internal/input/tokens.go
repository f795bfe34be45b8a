package input

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/token"
)

// maxTokens is a hundred times our own files; some shapes (such as empty list items) cost the parser time with the square
// of their tokens, and this many cost at most a few seconds.
const maxTokens = 100_000

var refused = map[token.Type]string{
	token.AnchorType: "an anchor (&)", token.AliasType: "an alias (*)", token.MergeKeyType: "a merge key (<<)",
	token.TagType: "a tag (!)", token.DirectiveType: "a directive (%)",
}

// scan looks at the tokens before the parser does, which stops at the first fault, recurses as deep as the file tells it
// to, and reads some text that is no YAML as something else.
type scan struct {
	doc            *Doc
	flow           int // open [ and {
	line, sameLine int // nesting on one line outside them
	open           widths
	before         *token.Token // comments left out
	bad            bool
}

// tokens lists what is refused; ok is false when the tree must not be built.
func (d *Doc) tokens(tokens token.Tokens) (ok bool) {
	s := scan{doc: d}
	for i, tk := range tokens {
		if i == maxTokens {
			d.fault(place(tk), "too many words and signs in one file", fmt.Sprintf("at most %d", maxTokens), "")
			return false
		}
		if tk.Type == token.CommentType {
			continue
		}
		s.form(tk)
		if !s.within(tk) {
			return false
		}
		s.before = tk
	}
	return !s.bad
}

// within holds a token against the limits of depth and width; false when one is passed.
func (s *scan) within(tk *token.Token) bool {
	at := place(tk)
	if at.Line != s.line {
		s.line, s.sameLine = at.Line, 0
	}
	switch tk.Type {
	case token.MappingStartType, token.SequenceStartType:
		s.flow++
	case token.MappingEndType, token.SequenceEndType:
		s.flow--
	case token.SequenceEntryType, token.MappingKeyType, token.MappingValueType:
		if s.flow <= 0 || tk.Type != token.MappingValueType {
			s.sameLine++
		}
	}
	if refused[tk.Type] != "" {
		s.sameLine++
	}
	if max(s.flow, s.sameLine) > maxDepth {
		s.doc.tooDeep(at)
		return false
	}
	if s.flow == 0 && !s.open.next(s.before, tk) {
		s.doc.fault(at, "too many keys in one map", fmt.Sprintf("at most %d", maxKeys), "")
		return false
	}
	return true
}

// form lists what is refused whatever stands around it, and what the parser would take for something else.
func (s *scan) form(tk *token.Token) {
	at := place(tk)
	if what := refused[tk.Type]; what != "" {
		s.doc.fault(at, what+" is not read here", "plain YAML", "write the values out")
		return
	}
	switch {
	case tk.Type == token.InvalidType:
		s.doc.fault(at, "no YAML: "+tk.Error, "", "")
	case tk.Type == token.CollectEntryType && s.after(token.CollectEntryType, token.MappingStartType, token.SequenceStartType):
		// YAML 1.2.2, section 7.4: entries of a flow collection are not empty
		s.doc.fault(at, "nothing stands before the comma", "a value", "take away the comma")
	case !s.plain(tk):
		return
	case strings.Contains(strings.TrimSpace(tk.Origin), "\t"): // the parser drops it: 1.8<tab>5 would be read as 1.85
		s.doc.fault(at, "a tab inside text without quotes", "spaces", "write spaces, or put the text in quotes")
	case strings.IndexAny(tk.Value, ",[]{}") == 0, strings.HasPrefix(tk.Value+" ", "? "): // YAML 1.2.2, section 7.3.3, ns-plain-first
		s.doc.fault(at, fmt.Sprintf("text without quotes begins with %q", tk.Value[0]), "a letter or a digit", "put the text in quotes")
	case strings.Contains(tk.Value, "\n") || strings.Contains(tk.Value, " #"): // of which the parser loses lines or keeps comments
		if s.before != nil && s.before.Position.Line < at.Line {
			at = place(s.before) // the parser's place of such text may be past its end
		}
		s.doc.fault(at, "an empty line or a comment inside text without quotes", "one paragraph", "put the text in quotes, or behind | or >")
	case strings.Contains(tk.Value, ": "): // inside {} the parser takes it for text; YAML 1.2.2, section 7.3.3, ns-plain-char
		s.doc.fault(at, "a second colon inside text without quotes", "one colon a value", "put the text in quotes")
	default:
		return
	}
	s.bad = true
}

func (s *scan) after(types ...token.Type) bool {
	for _, t := range types {
		if s.before != nil && s.before.Type == t {
			return true
		}
	}
	return false
}

// plain tells text without quotes from all other tokens; the body of block text has the type of a string too.
func (s *scan) plain(tk *token.Token) bool {
	switch tk.Type {
	case token.StringType, token.IntegerType, token.FloatType, token.BinaryIntegerType, token.OctetIntegerType,
		token.HexIntegerType, token.BoolType, token.NullType, token.InfinityType, token.NanType:
		return !s.after(token.LiteralType, token.FoldedType)
	}
	return false
}
