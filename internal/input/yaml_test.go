package input

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const good = "\xef\xbb\xbf# a comment\r\nname: Otter # its name\r\nreach: 1.85\r\nrounds: 3\r\nsouthpaw: true\r\nstance: \"open\"\r\n" +
	"acts: [jab, cross]\r\none: jab\r\nlong: |\r\n  two\r\n  lines\r\ninner:\r\n  deep: -2e-3\r\nlist:\r\n  - a: 1\r\n    b: 2\r\n  - {a: 3}\r\nempty:\r\n"

func TestReaders(t *testing.T) {
	doc, faults := ParseYAML("f.yaml", []byte(good))
	require.NoError(t, faults.Err())
	m := doc.Root()
	require.Equal(t, []string{"name", "reach", "rounds", "southpaw", "stance", "acts", "one", "long", "inner", "list", "empty"}, m.Keys())
	require.Equal(t, "Otter", m.Text("name"))
	require.Equal(t, "1.85", m.Text("reach"))
	require.Equal(t, 1.85, m.Float("reach", 0, 3))
	require.Equal(t, 3, m.Int("rounds", 1, 15))
	require.Equal(t, 3.0, m.FloatOr("rounds", 7, 1, 15))
	require.True(t, m.Bool("southpaw"))
	require.Equal(t, "open", m.Word("stance", "open", "closed"))
	require.Equal(t, []string{"jab", "cross"}, m.Words("acts", "jab", "cross"))
	require.Equal(t, []string{"jab"}, m.Words("one", "jab", "cross"))
	require.Equal(t, "two\nlines\n", m.Text("long"))
	require.Equal(t, -0.002, m.Map("inner").Float("deep", math.Inf(-1), math.Inf(1)))
	require.True(t, m.IsMap("inner"))
	require.False(t, m.IsMap("list"))
	require.False(t, m.IsMap("no"))
	list := m.Maps("list")
	require.Len(t, list, 2)
	require.Equal(t, 2, list[0].Int("b", 0, 9))
	require.Equal(t, 3, list[1].Int("a", 0, 9))
	require.Equal(t, 15, list[0].Line())
	require.Equal(t, "d", m.TextOr("no", "d"))
	require.Equal(t, 7, m.IntOr("no", 7, 0, 1))
	require.True(t, m.BoolOr("no", true))
	require.Equal(t, "w", m.WordOr("no", "w", "a"))
	require.False(t, m.Has("no"))
	require.True(t, m.Has("empty"))
	require.NoError(t, doc.Faults().Err())
}

func TestReadersAddFaults(t *testing.T) {
	text := "reach: 1_0\nname: [x]\nstance: opne\nrouns: 3\nrounds: 3.7\nflag: yes\nacts: [jab, cros, {a: 1}]\nlist: [1, {a: 2}]\ninner: 3\nquoted: \"1\"\nempty:\n"
	doc, faults := ParseYAML("f.yaml", []byte(text))
	require.NoError(t, faults.Err())
	m := doc.Root()
	m.Known("reach", "name", "stance", "rounds", "flag", "acts", "list", "inner", "quoted", "empty")
	require.Zero(t, m.Float("reach", 0, 3))
	require.Zero(t, m.Text("name"))
	require.Zero(t, m.Word("stance", "open", "closed"))
	require.Equal(t, 5, m.IntOr("rounds", 5, 1, 15))
	require.False(t, m.Bool("flag"))
	require.Equal(t, []string{"jab"}, m.Words("acts", "jab", "cross"))
	require.Len(t, m.Maps("list"), 1)
	require.False(t, m.Map("inner").OK())
	require.Zero(t, m.Map("inner").Map("x").Float("silent", 0, 1))
	require.Zero(t, m.FloatOr("quoted", 0, 0, 2))
	require.Zero(t, m.TextOr("empty", ""))
	require.Zero(t, m.Int("gone", 0, math.MaxInt))
	m.Fault("flag", "mine", "w", "h")
	require.Equal(t, strings.Split(`f.yaml:1:1: key "gone" is missing; expected a whole number of at least 0
f.yaml:1:8: reach is "1_0"; expected a number from 0 to 3; write it without underscores
f.yaml:2:7: name is a list; expected text
f.yaml:3:9: stance is "opne"; expected one of open, closed; did you mean "open"?
f.yaml:4:1: unknown key "rouns"; did you mean "rounds"?
f.yaml:5:9: rounds is "3.7"; expected a whole number from 1 to 15
f.yaml:6:7: flag is "yes"; expected true or false
f.yaml:6:7: mine; expected w; h
f.yaml:7:13: acts is "cros"; expected one of jab, cross; did you mean "cross"?
f.yaml:7:20: acts is a map; expected one of jab, cross
f.yaml:8:8: an item of list is "1"; expected a map
f.yaml:9:8: inner is "3"; expected a map
f.yaml:9:8: inner is "3"; expected a map
f.yaml:10:9: quoted is "1"; expected a number from 0 to 2; take away the quotes
f.yaml:11:1: empty is empty; expected text`, "\n"), strings.Split(doc.Faults().Error(), "\n"))
}

// The forms of numbers in YAML 1.2.2, section 10.3.2 (core schema), of which only the decimal ones are read.
func TestNumbers(t *testing.T) {
	for text, want := range map[string]float64{
		"0": 0, "-0": 0, "12": 12, "+12.5": 12.5, ".5": 0.5, "12.": 12, "12e03": 12000, "-2E+05": -200000, "0.1": 0.1, "0e9": 0,
	} {
		doc, _ := ParseYAML("", []byte("a: "+text))
		require.Equal(t, want, doc.Root().Float("a", math.Inf(-1), math.Inf(1)), text)
		require.NoError(t, doc.Faults().Err(), text)
	}
	for _, text := range []string{
		".nan", ".NaN", "nan", ".inf", "-.inf", "+.INF", "Infinity", "0x1F", "0o14", "014", "0b1", "1_000", `"1"`, "'1'", "1e999", "1,5",
		"1 2", "0x1p-2", "--1", "e5", ".", "true", "", "~", "[1]", "2019-01-01", "1:30",
	} {
		doc, faults := ParseYAML("", []byte("a: "+text))
		require.NoError(t, faults.Err(), text)
		require.Zero(t, doc.Root().Float("a", math.Inf(-1), math.Inf(1)), text)
		require.Zero(t, doc.Root().Int("a", math.MinInt, math.MaxInt), text)
		require.Len(t, doc.Faults(), 2, text)
	}
	for _, text := range []string{"3.7", "3.0", "1e3", "9223372036854775808"} {
		doc, _ := ParseYAML("", []byte("a: "+text))
		require.Zero(t, doc.Root().Int("a", math.MinInt, math.MaxInt), text)
		require.Len(t, doc.Faults(), 1, text)
	}
}

func TestRefused(t *testing.T) {
	deep := func(n int) string { return "a: " + strings.Repeat("[", n) + strings.Repeat("]", n) }
	blocks := ""
	for i := range 40 {
		blocks += strings.Repeat(" ", i) + "a:\n"
	}
	for text, want := range map[string]string{
		"a: 1\nb: 2\na: 3\n":                   `f:3:1: key "a" stands twice`,
		"x:\n  {a: 1, a: 2}\n":                 `f:2:10: key "a" stands twice`,
		"a: &x 1\n":                            "f:1:4: an anchor (&)",
		"a: *x\n":                              "f:1:4: an alias (*)",
		"a: !!str 1\n":                         "f:1:4: a tag (!)",
		"b: 1\n<<: {a: 1}\n":                   "f:2:1: a merge key (<<)",
		"%YAML 1.2\n---\na: 1\n":               "f:1:1: a directive (%)",
		"a: 1\n---\nb: 1\n":                    "f:2:1: a further document",
		"a: 1\nb: [1, 2\n":                     "f:2:",
		"a: \"x\n":                             "f:1:",
		"a: 1\n b: 2\n":                        "f:",
		"a: 1\n\tb: 2\n":                       "f:",
		"a: 1\nb: x\xff\n":                     "f:2:5: byte 0xff is not UTF-8",
		"a: 1\nb: x\x00\n":                     "f:2:5: a NUL byte",
		`a: "\0"`:                              "f:1:4: a NUL character",
		"? [a]\n: 1\n":                         "f:2:1: no YAML: found an invalid key",
		"- 1\n":                                "f:1:1: the file is a list; expected a map",
		strings.Repeat("a: 1\n", maxKeys+1):    "f:10001:2: too many keys in one map",
		strings.Repeat("? a\n", maxKeys+1):     "f:10001:1: too many keys in one map",
		"a: 1\n...\nb: 1\n":                    "f:3:2: a further document",
		"word":                                 `the file is "word"`,
		"":                                     "f:1:1: the file is empty",
		"# only\n":                             "f:1:1: the file is empty",
		deep(33):                               "f:1:36: values nest too deep",
		deep(32):                               "nest too deep",
		"a: " + strings.Repeat("[", 1<<19):     "nest too deep",
		strings.Repeat("- ", 1<<18) + "a":      "nest too deep",
		strings.Repeat("? ", 1<<18) + "a":      "nest too deep",
		blocks:                                 "f:32:32: values nest too deep",
		"a: " + strings.Repeat("x", maxYAML-2): "f:1:1: the file has 1048577 bytes; expected at most 1048576",
	} {
		_, faults := ParseYAML("f", []byte(text))
		assert.ErrorContains(t, faults.Err(), want, "%.40q", text)
	}
	_, faults := ParseYAML("f", []byte(deep(31)))
	require.NoError(t, faults.Err())
	_, faults = ParseYAML("f", []byte("---\na: 1\n...\n"))
	require.NoError(t, faults.Err())
}

// The column after a tag is that of the parser, which counts one too few there.
func TestAllFaultsAreListed(t *testing.T) {
	_, faults := ParseYAML("f", []byte("a: &x 1\na: *x\nb: !t {c: 1, c: 2}\n"))
	require.Equal(t, "f:1:4: an anchor (&) is not read here; expected plain YAML; write the values out\n"+
		"f:2:1: key \"a\" stands twice in the map; expected each key once\n"+
		"f:2:4: an alias (*) is not read here; expected plain YAML; write the values out\n"+
		"f:3:4: a tag (!) is not read here; expected plain YAML; write the values out\n"+
		"f:3:13: key \"c\" stands twice in the map; expected each key once", faults.Error())
}

// What Scalar and Number write, ParseYAML reads back as it was.
func TestWrittenScalarsReadBack(t *testing.T) {
	check := func(t require.TestingT, s string) {
		doc, faults := ParseYAML("", []byte("a: "+Scalar(s)+"\n"+"l: ["+Scalar(s)+"]\n? "+Scalar("k"+s)+"\n: 1\n"))
		require.NoError(t, faults.Err(), "%q", s)
		require.Equal(t, s, doc.Root().Text("a"), "%q", s)
		require.Equal(t, s, doc.Root().find("l").Items[0].Text, "%q", s)
		require.True(t, doc.Root().Has("k"+s), "%q", s)
	}
	for _, s := range []string{"", " ", "a b", "true", "No", "1", "-", "a: b", "a #b", "'", `"\`, "a\nb", "\r\n", "\t", "\u0085", "\u2028", "\ufeff",
		"\U0001f98a", "\U000e0001", "*a", "&a", "!a", "%", "@", "`", "---", "...", "é", "{", "]", ",", "~", "null", "a.b", "a/b", "0x1", "<<", "\x7f", "\x1b"} {
		check(t, s)
	}
	rapid.Check(t, func(t *rapid.T) {
		check(t, strings.ReplaceAll(rapid.String().Draw(t, "s"), "\x00", ""))
	})
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64Range(-math.MaxFloat64, math.MaxFloat64).Draw(t, "f")
		doc, _ := ParseYAML("", []byte("a: "+Number(f)))
		require.Equal(t, f+0, doc.Root().Float("a", math.Inf(-1), math.Inf(1)))
		require.NoError(t, doc.Faults().Err())
	})
	require.Equal(t, "1000000", Number(1e6))
	require.Equal(t, "0", Number(math.Copysign(0, -1)))
	require.Panics(t, func() { Number(math.NaN()) })
}

// Whatever the bytes, ParseYAML ends without a panic, gives a map or a fault, and every fault has its place.
func FuzzYAML(f *testing.F) {
	for _, s := range []string{good, "a: [1, {b: 2}]", "a: &x 1\nb: *x", "? a\n: b", "a: |\n  x\n", "---\n...\n---", "{", "- - -", "a: !!binary |\n x", "<<: *a", "\"\\x00\": 1",
		"a:\n- b\n-\n- c: 1", "%YAML 1.2", "a: >-\n\n  x", "? ? a", "!t", "&a", "[a: 1]", "{a, b: }", "0\n...!", "a:\n-\nb: 1", "a: {b: c: d}", "a: x\n  - \n   # c", "a: [,]", "a: 'x''y'"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		doc, faults := ParseYAML("f", data)
		require.True(t, len(faults) > 0 || doc.Root().OK())
		if len(faults) == 0 {
			checkTree(t, doc.Tree(), 1)
		}
		for _, k := range doc.Root().Keys() {
			doc.Root().Text(k)
			doc.Root().Words(k, "a")
			doc.Root().Float(k, 0, 1)
		}
		require.GreaterOrEqual(t, len(doc.Faults()), len(faults))
		checkFaults(t, doc.Faults())
	})
}

func checkTree(t *testing.T, n *Node, depth int) {
	require.LessOrEqual(t, depth, maxDepth)
	require.Positive(t, n.Line)
	require.Len(t, n.index, len(n.Keys))
	require.NotContains(t, n.Text, "\x00")
	for _, e := range n.Keys {
		require.Equal(t, KindScalar, e.Key.Kind)
		checkTree(t, e.Value, depth+1)
	}
	for _, item := range n.Items {
		checkTree(t, item, depth+1)
	}
}
