package input

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// show writes a tree in one line: {key:value} [item] "text" or nothing.
func show(n *Node) string {
	var parts []string
	for _, e := range n.Keys {
		parts = append(parts, e.Key.Text+":"+show(e.Value))
	}
	for _, item := range n.Items {
		parts = append(parts, show(item))
	}
	switch all := strings.Join(parts, " "); n.Kind {
	case KindMap:
		return "{" + all + "}"
	case KindList:
		return "[" + all + "]"
	case KindScalar:
		return fmt.Sprintf("%q", n.Text)
	}
	return ""
}

// Examples of YAML 1.2.2 (from memory), their words changed where they name people, put under a key where the root is no map.
func TestSpecExamples(t *testing.T) {
	for _, c := range []struct{ example, text, want string }{
		{"2.2 scalars", "hr:  65    # a comment\navg: 0.278\nrbi: 147\n", `{hr:"65" avg:"0.278" rbi:"147"}`},
		{"2.3 map to lists", "b:\n- otter\n- heron\nc:\n- newt\n", `{b:["otter" "heron"] c:["newt"]}`},
		{"2.4 list of maps", "l:\n-\n  name: otter\n  hr:   65\n-\n  name: newt\n  hr:   63\n", `{l:[{name:"otter" hr:"65"} {name:"newt" hr:"63"}]}`},
		{"2.5 list of lists", "l:\n- [name, hr]\n- [otter, 65]\n", `{l:[["name" "hr"] ["otter" "65"]]}`},
		{"2.6 map of maps", "otter: {hr: 65, avg: 0.278}\nnewt: {\n    hr: 63,\n    avg: 0.288,\n  }\n", `{otter:{hr:"65" avg:"0.278"} newt:{hr:"63" avg:"0.288"}}`},
		{"2.12 compact maps", "l:\n- item    : hoop\n  quantity: 1\n- item    : ball\n  quantity: 4\n", `{l:[{item:"hoop" quantity:"1"} {item:"ball" quantity:"4"}]}`},
		{"2.13 literal", "a: |\n  \\//||\\/||\n  // ||  ||__\n", `{a:"\\//||\\/||\n// ||  ||__\n"}`},
		{"2.14 folded", "a: >\n  the year\n  was crowned\n  with a knee\n", `{a:"the year was crowned with a knee\n"}`},
		{"2.15 more indented", "a: >\n Otter set\n a record.\n\n   63 Home\n   0.288 Average\n\n What a year!\n", `{a:"Otter set a record.\n\n  63 Home\n  0.288 Average\n\nWhat a year!\n"}`},
		{"2.17 quoted", "u: \"fine.\\u263A\"\nh: \"\\x0d\\x0a is \\r\\n\"\ns: '\"Howdy!\" he cried.'\nq: ' # Not a ''comment''.'\nt: '|\\-*-/|'\n",
			`{u:"fine.☺" h:"\r\n is \r\n" s:"\"Howdy!\" he cried." q:" # Not a 'comment'." t:"|\\-*-/|"}`},
		{"2.18 multi-line", "plain:\n  This unquoted scalar\n  spans many lines.\n\nquoted: \"So does this\n  quoted scalar.\\n\"\n",
			`{plain:"This unquoted scalar spans many lines." quoted:"So does this quoted scalar.\n"}`},
		{"2.21 others", "null:\nbooleans: [ true, false ]\nstring: '012345'\n", ""},
		{"5.7 block scalars", "literal: |\n  some\n  text\nfolded: >\n  some\n  text\n", `{literal:"some\ntext\n" folded:"some text\n"}`},
		{"5.8 quoted", "single: 'text'\ndouble: \"text\"\n", `{single:"text" double:"text"}`},
		{"7.8 single-quoted lines", "a: 'here''s to \"quotes\"'\n", `{a:"here's to \"quotes\""}`},
		{"7.10 plain characters", "a:\n- ::vector\n- \": - ()\"\n- Up, up, and away!\n- -123\n- x#y\n", `{a:["::vector" ": - ()" "Up, up, and away!" "-123" "x#y"]}`},
		{"8.4 chomping", "strip: |-\n  text\nclip: |\n  text\nkeep: |+\n  text\n", `{strip:"text" clip:"text\n" keep:"text\n"}`},
		{"8.2 indentation", "a:\n- |\n detected\n- >\n \n  \n  # detected\n", `{a:["detected\n" "\n\n# detected\n"]}`},
	} {
		doc, faults := ParseYAML("f", []byte(c.text))
		if c.want == "" { // a key that is null, the one thing of that example we refuse
			assert.ErrorContains(t, faults.Err(), "f:1:1: a key that is no word", c.example)
			continue
		}
		if assert.NoError(t, faults.Err(), c.example) {
			assert.Equal(t, c.want, show(doc.Tree()), c.example)
		}
	}
}

// YAML 1.2.2, section 3.2.1.1: the keys of a map are unique. Section 10.3.2 makes 1 and "1" different, but as text they
// are one key here.
func TestKeysAreUnique(t *testing.T) {
	for _, text := range []string{"a: 1\na: 1\n", "{a: 1, a: 2}\n", "b:\n  a: 1\n  'a': 2\n", "1: x\n\"1\": y\n", "? a\n: 1\n? a\n: 2\n"} {
		_, faults := ParseYAML("f", []byte(text))
		require.Len(t, faults, 1, text)
		require.Contains(t, faults.Error(), "stands twice in the map", text)
	}
	_, faults := ParseYAML("f", []byte("a: 1\na: 2\na: 3\nb: {c: 1, c: 2}\n"))
	require.Len(t, faults, 3, "all of them are listed")
}

// Text that is no YAML 1.2.2 but that a lenient parser reads as something, at times as another value than the one
// written: the section beside each says why it is none.
func TestMisreadings(t *testing.T) {
	for text, want := range map[string]string{
		"reach: 1.8\t5\n":      "f:1:8: a tab inside text without quotes", // legal, 7.3.3, but not a number; a parser made it 1.85
		"re\tach: 1\n":         "f:1:1: a tab inside text without quotes",
		"a: [1\t2]\n":          "f:1:5: a tab inside text without quotes",
		"a:\n3\n":              `f:2:1: the value of "a" is not indented`,    // 8.2.2
		"b:\n  a:\n  3\n":      `f:3:3: the value of "a" is not indented`,    // 8.2.2
		"a:\n-\nb: 1\n":        "f:2:1: nothing stands behind the dash",      // 8.2.1: a is [null] and b is beside it
		"a:\n  -\n  b: 1\n":    "f:2:3: ",                                    // 8.2.1
		"a: , 1\n":             `f:1:4: text without quotes begins with ','`, // 7.3.3
		"a: }\n":               "f:1:4: ",                                    // 7.3.3
		"a: ?\n":               `f:1:4: text without quotes begins with '?'`, // 7.3.3
		"a:\n  ? \n":           "f:2:",
		"a: [1,,2]\n":          "f:1:7: nothing stands before the comma",                       // 7.4
		"a: {, b: 1}\n":        "f:1:5: nothing stands before the comma",                       // 7.4
		"a: {b: c: d}\n":       "f:1:8: a second colon inside text without quotes",             // 7.3.3
		"a: b: c\n":            "f:1:4: no YAML",                                               // 8.2.2
		"a: x\n  - \n   # c\n": "f:1:2: an empty line or a comment inside text without quotes", // 6.6
		"a: ||\n":              "f:1:4: no YAML",                                               // 8.1.1
		"a: \x1b[2Jb\n":        "f:1:4: control character U+001B",                              // 5.1
		"a: 1 # c\n  2\n":      "f:2:3: no YAML",                                               // 6.6
		"a: [b, # c\n , d]\n":  "f:2:2: nothing stands before the comma",                       // 7.4
		"a: \"x\" y\n":         "f:1:8: no YAML",                                               // 7.3.1
		"a: 'x' y: 1\n":        "f:1:8: no YAML",
	} {
		_, faults := ParseYAML("f", []byte(text))
		assert.ErrorContains(t, faults.Err(), want, "%q", text)
	}
	for text, want := range map[string]string{ // what looks like them and is well-formed
		"a: 1 \t # c\n": `{a:"1"}`, "a: 1\n  # c\nb: 2\n": `{a:"1" b:"2"}`, "a: \"x\ty\"\n": `{a:"x\ty"}`, "a: |\n  x\ty # z: 1\n": `{a:"x\ty # z: 1\n"}`,
		"a:\n- 1\nb: 2\n": `{a:["1"] b:"2"}`, "a:\n-\n-\n": `{a:[ ]}`, "a: [1, 2,]\n": `{a:["1" "2"]}`, "a: {b:\n  1}\n": `{a:{b:"1"}}`, "a: 1,\n": `{a:"1,"}`,
		"a: x:y\n": `{a:"x:y"}`, "a: ?x\n": `{a:"?x"}`, "a: {b: \"c: d\"}": `{a:{b:"c: d"}}`, "a: >\n  x\n  y": `{a:"x y\n"}`, "? a\n: 1\n": `{a:"1"}`, "a: | # c\n  x\n": `{a:"x\n"}`,
	} {
		doc, faults := ParseYAML("f", []byte(text))
		if assert.NoError(t, faults.Err(), "%q", text) {
			assert.Equal(t, want, show(doc.Tree()), "%q", text)
		}
	}
}

// Shapes on which the parser's time grows with the square of their length: unchecked, half a MiB of commas took it half a
// minute. The bound is ten times and more what they take now.
func TestHostileShapesEndSoon(t *testing.T) {
	for name, text := range map[string]string{
		"commas": "a: [" + strings.Repeat(",", maxYAML-8) + "]", "dashes": "a:\n" + strings.Repeat("-\n", maxYAML/2-8),
		"colons": "a: b" + strings.Repeat(": c", maxYAML/3-8), "keys": strings.Repeat("k:\n", maxYAML/3-8), "one line": "a: [b" + strings.Repeat(": c", maxTokens/2-8) + "]",
	} {
		begin := time.Now()
		_, faults := ParseYAML("f", []byte(text))
		require.NotEmpty(t, faults, name)
		require.Less(t, time.Since(begin), 20*time.Second, name)
	}
	_, faults := ParseYAML("f", []byte("a:\n"+strings.Repeat("- 1\n", maxTokens/2)))
	require.EqualError(t, faults.Err(), "f:50001:1: too many words and signs in one file; expected at most 100000")
	_, faults = ParseYAML("f", []byte("a:\n"+strings.Repeat("- 1\n", maxTokens/2-1)))
	require.NoError(t, faults.Err())
}

// ISO 8601 and the Gregorian rule of leap years: 2000 and 2024 have a 29 February, 1900 and 2023 have none.
func TestDates(t *testing.T) {
	for text, ok := range map[string]bool{
		"2024-02-29": true, "2000-02-29": true, `"2024-05-31"`: true, "1900-02-29": false, "2023-02-29": false, "2024-13-01": false,
		"2024-04-31": false, "2024-5-1": false, "20240501": false, "31.05.2024": false, "2024-05-31T00:00:00Z": false, "": false, "[2024-05-31]": false,
	} {
		doc, faults := ParseYAML("f", []byte("a: "+text+"\n"))
		require.NoError(t, faults.Err(), text)
		day := doc.Root().Date("a")
		if ok {
			require.NoError(t, doc.Faults().Err(), text)
			require.Equal(t, strings.Trim(text, `"`), day.Format("2006-01-02"), text)
			continue
		}
		require.ErrorContains(t, doc.Faults().Err(), "expected a day such as 2024-05-31", text)
		require.True(t, day.IsZero(), text)
	}
	doc, _ := ParseYAML("f", []byte("b: 1\n"))
	def := time.Date(2024, 5, 31, 0, 0, 0, 0, time.UTC)
	require.Equal(t, def, doc.Root().DateOr("a", def))
	require.NoError(t, doc.Faults().Err())
	doc.Root().Date("a")
	require.ErrorContains(t, doc.Faults().Err(), `f:1:1: key "a" is missing; expected a day`)
}

func TestFloatsAndUnits(t *testing.T) {
	doc, _ := ParseYAML("f", []byte("one: 1.5\nsome: [1, 2.5, x, 9]\nnone: []\nreach: 185\nfall: -1\nrounds: 3.7\nany: x\nm: {reach: 5}\n"))
	m := doc.Root()
	require.Equal(t, []float64{1.5}, m.Floats("one", 0, 3))
	require.Empty(t, m.Floats("none", 0, 3))
	require.Equal(t, []float64{1, 2.5}, m.In("s").Floats("some", 0, 3))
	m.In("m").Float("reach", 1.2, 2.6)
	m.In("m").Float("fall", 0, math.Inf(1))
	m.In("rounds").Int("rounds", math.MinInt, 15)
	m.In("kg").Float("any", math.Inf(-1), math.Inf(1))
	m.In("m").Map("m").Float("reach", 1, 2)
	m.Floats("pulses", 0, 3)
	require.Equal(t, strings.Split(`f:1:1: key "pulses" is missing; expected a number from 0 to 3, or a list of such
f:2:16: some is "x"; expected a number from 0 to 3 s
f:2:19: some is "9"; expected a number from 0 to 3 s
f:4:8: reach is "185"; expected a number from 1.2 to 2.6 m
f:5:7: fall is "-1"; expected a number of at least 0 m
f:6:9: rounds is "3.7"; expected a whole number of at most 15 rounds
f:7:6: any is "x"; expected a number in kg
f:8:12: reach is "5"; expected a number from 1 to 2`, "\n"), strings.Split(doc.Faults().Error(), "\n"))
}

// drawn is a random value, as show writes it and as block YAML at an indentation.
type drawn struct{ shown, block string }

func drawValue(t *rapid.T, indent, deep int) drawn {
	kind := rapid.IntRange(0, 3).Draw(t, "kind")
	if deep == 0 {
		kind = 0
	}
	switch kind {
	case 1:
		return drawMap(t, indent, deep)
	case 2:
		var shown []string
		block := "\n"
		for range rapid.IntRange(1, 3).Draw(t, "items") {
			item := drawValue(t, indent+2, deep-1)
			shown = append(shown, item.shown)
			block += strings.Repeat(" ", indent) + "-" + item.block
		}
		return drawn{"[" + strings.Join(shown, " ") + "]", block}
	case 3:
		return drawn{"", "\n"}
	}
	s := strings.ReplaceAll(rapid.String().Draw(t, "text"), "\x00", "")
	return drawn{fmt.Sprintf("%q", s), " " + Scalar(s) + "\n"}
}

func drawMap(t *rapid.T, indent, deep int) drawn {
	var shown []string
	block := "\n"
	for i := range rapid.IntRange(1, 3).Draw(t, "keys") {
		key := fmt.Sprintf("%d%s", i, rapid.StringMatching(`[a-z:#' ]{0,4}`).Draw(t, "key"))
		value := drawValue(t, indent+2, deep-1)
		shown = append(shown, key+":"+value.shown)
		block += strings.Repeat(" ", indent) + Scalar(key) + ":" + value.block
	}
	return drawn{"{" + strings.Join(shown, " ") + "}", block}
}

// Block YAML of any shape, with empty values and empty items among the others, reads back as the tree it was written from.
func TestTreesReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := drawMap(t, 0, 4)
		doc, faults := ParseYAML("f", []byte(want.block))
		require.NoError(t, faults.Err(), want.block)
		require.Equal(t, want.shown, show(doc.Tree()), want.block)
	})
}
