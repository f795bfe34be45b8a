package tape

import (
	"bytes"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

var drawnNotes = []string{"", "", `a "note", with; all`, "two\nlines", " x "}

// drawMoments draws moments in coded time, in order, none twice.
func drawMoments(t *rapid.T, b *Bout) (out []stamp) {
	for range rapid.IntRange(1, 12).Draw(t, "moments") {
		var s stamp
		s.round, s.us = drawTime(t, b)
		out = append(out, s)
	}
	slices.SortFunc(out, func(a, b stamp) int {
		if a.before(&b) {
			return -1
		}
		return 1
	})
	return slices.CompactFunc(out, func(a, b stamp) bool { return !a.before(&b) })
}

func drawCoarse(t *rapid.T, b *Bout, name string) *Coarse {
	c := &Coarse{Bout: b, Name: name}
	for _, s := range drawMoments(t, b) {
		c.Samples = append(c.Samples, Sample{Round: s.round, Clock: s.us, Note: rapid.SampledFrom(drawnNotes).Draw(t, "note"),
			Range:  rapid.SampledFrom(append(StateRange.values(), NoValue)).Draw(t, "range"),
			Centre: rapid.SampledFrom(append(StateCentre.values(), NoValue)).Draw(t, "centre"),
			Fence:  rapid.SampledFrom(append(StateFence.values(), NoValue)).Draw(t, "fence")})
	}
	c.Samples[0].Range = rapid.SampledFrom(StateRange.values()).Draw(t, "first range") // a coding states a range
	firsts := []Act{NoAct}
	for a := range NumActs {
		if opens(a) && b.RuleSet.allows(a) {
			firsts = append(firsts, a)
		}
	}
	count := rapid.IntRange(Uncoded, maxClean)
	c.Exchanges = []Exchange{}
	for _, s := range drawMoments(t, b) {
		c.Exchanges = append(c.Exchanges, Exchange{Round: s.round, Clock: s.us, Note: rapid.SampledFrom(drawnNotes).Draw(t, "note"),
			Led: Corner(rapid.IntRange(0, 2).Draw(t, "led")), First: rapid.SampledFrom(firsts).Draw(t, "first"),
			Clean: [2]int{count.Draw(t, "red"), count.Draw(t, "blue")}, Gave: Side(rapid.IntRange(0, int(NumSides)-1).Draw(t, "gave")),
			Takedown: Side(rapid.IntRange(0, int(SideNone)).Draw(t, "takedown"))})
	}
	switch rapid.IntRange(0, 3).Draw(t, "parts") {
	case 0:
		c.Samples = nil
	case 1:
		c.Exchanges = nil
	case 2:
		c.Exchanges = []Exchange{}
	}
	return c
}

// Reading and writing again loses no value of a coarse coding, alone or beside full ones.
func TestCoarseRoundTrip(t *testing.T) {
	root := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		dir, err := os.MkdirTemp(root, "")
		require.NoError(t, err)
		b := drawBout(t)
		coarse := []*Coarse{drawCoarse(t, b, "anna"), drawCoarse(t, b, "ben 2")}
		var full []*Coding
		if b.Level = rapid.SampledFrom([]string{levelEvents, levelExchanges}).Draw(t, "level"); b.Level == levelEvents {
			full = []*Coding{{Bout: b, Name: "anna", Rows: drawRows(t, b)}}
		}
		require.NoError(t, WriteBout(dir, b, full, coarse...))
		back, read, err := ReadBoutDirAll(dir)
		require.NoError(t, err)
		back.Files = Files{}
		require.Equal(t, b, back)
		require.Len(t, read.Full, len(full))
		for _, c := range read.Coarse {
			require.Empty(t, c.Warnings)
			for i := range c.Samples {
				require.Positive(t, c.Samples[i].Line)
				c.Samples[i].Line = 0
			}
			for i := range c.Exchanges {
				require.Positive(t, c.Exchanges[i].Line)
				c.Exchanges[i].Line = 0
			}
		}
		require.Equal(t, coarse, read.Coarse)
		_, events, err := ReadBoutDir(dir)
		require.Equal(t, b.Level == levelEvents, err == nil)
		require.Len(t, events, len(full))
	})
}

const (
	sampleHeader   = "round,clock,range,centre,fence\n"
	exchangeHeader = "round,clock,led,first,clean_red,clean_blue,gave_ground,takedown\n"
	coarseBout     = bookBout + "level: exchanges\n"
)

func coarseFolder(bout string, files map[string]string) fstest.MapFS {
	fsys := fstest.MapFS{"b/bout.yaml": {Data: []byte(bout)}}
	for name, text := range files {
		fsys["b/"+name] = &fstest.MapFile{Data: []byte(text)}
	}
	return fsys
}

func TestReadCoarse(t *testing.T) {
	_, c, err := ReadBoutFSAll(coarseFolder(coarseBout, map[string]string{
		"anna.samples.csv":   "Round;Clock;Range;Centre\n1;0:05;kick;red\n1;0:00;unknown;\n1;0:10;punching;neutral\n",
		"anna.exchanges.tsv": "round\tclock\tled\tfirst\tclean_red\tclean_blue\tgave_ground\n1\t0:07,5\tblue\tcalf kick\t0\t2\tneither\n1\t0:12\t\t\t\tunknown\t\n",
		"ben.exchanges.csv":  exchangeHeader + "2,1:00,red,double leg,,,both,red\n2,2:00,red,jab,1,0,none,\n",
	}), "b")
	require.NoError(t, err)
	require.Empty(t, c.Full)
	require.Len(t, c.Coarse, 2)
	anna, ben := c.Coarse[0], c.Coarse[1]
	require.Equal(t, []Sample{{Round: 1, Line: 3}, {Round: 1, Clock: 5e6, Range: Kicking, Centre: Red, Line: 2},
		{Round: 1, Clock: 10e6, Range: Boxing, Centre: Even, Line: 4}}, anna.Samples)
	require.Equal(t, []Exchange{{Round: 1, Clock: 7_500_000, Led: BlueCorner, First: LowKick, Clean: [2]int{0, 2}, Gave: SideNone, Line: 2},
		{Round: 1, Clock: 12e6, Led: NoCorner, Clean: [2]int{Uncoded, Uncoded}, Line: 3}}, anna.Exchanges)
	require.Equal(t, []string{"b/anna.samples.csv:3: the row is earlier than the one before (1 of 3 rows, this one first); sorted by round and clock"}, anna.Warnings)
	require.Nil(t, ben.Samples)
	require.Equal(t, Exchange{Round: 2, Clock: 60e6, First: Shoot, Clean: [2]int{Uncoded, Uncoded}, Gave: SideBoth, Takedown: SideRed, Line: 2}, ben.Exchanges[0])
}

// A workbook with a sheet for each part.
func TestCoarseBook(t *testing.T) {
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Exchanges"))
	_, err := f.NewSheet("samples")
	require.NoError(t, err)
	require.NoError(t, f.SetSheetRow("Exchanges", "A1", &[]any{"round", "clock", "led", "first", "clean_red"}))
	require.NoError(t, f.SetSheetRow("Exchanges", "A2", &[]any{1, "0:05", "red", "jab", 3}))
	require.NoError(t, f.SetSheetRow("Exchanges", "A3", &[]any{1, "0:09", "red", "jab", 3}))
	require.NoError(t, f.SetSheetRow("samples", "A1", &[]any{"round", "clock", "range"}))
	require.NoError(t, f.SetSheetRow("samples", "A2", &[]any{1, 0, "out"}))
	require.NoError(t, f.SetSheetRow("samples", "A3", &[]any{1, 5, "clinch"}))
	data := written(t, f)
	_, c, err := ReadBoutFSAll(coarseFolder(coarseBout+"numbers: seconds\n", map[string]string{"anna.xlsx": string(data)}), "b")
	require.NoError(t, err)
	require.Equal(t, Sample{Round: 1, Clock: 5e6, Range: Clinch, Line: 3}, c.Coarse[0].Samples[1])
	require.Equal(t, [2]int{3, Uncoded}, c.Coarse[0].Exchanges[0].Clean)
	require.NoError(t, f.DeleteSheet("samples"))
	_, _, err = ReadBoutFSAll(coarseFolder(coarseBout, map[string]string{"anna.xlsx": string(written(t, f))}), "b")
	require.ErrorContains(t, err, "b/anna.xlsx: the workbook has no sheet samples")
}

func TestCoarseFaults(t *testing.T) {
	for want, c := range map[string][2]string{
		`b/a.samples.csv:2: range "head"; expected nothing or one of out, kicking`:                     {"a.samples.csv", sampleHeader + "1,0:05,head,,"},
		`b/a.samples.csv:2: centre "none"; expected nothing or one of red, blue, even`:                 {"a.samples.csv", sampleHeader + "1,0:05,,none,"},
		`b/a.samples.csv:2: fence "even"; expected nothing or one of red, blue, none`:                  {"a.samples.csv", sampleHeader + "1,0:05,,,even"},
		`b/a.samples.csv:2: range "kickin" is not known; did you mean "kicking"?`:                      {"a.samples.csv", sampleHeader + "1,0:05,kickin,,"},
		"b/a.samples.csv:3: round 1 at 0:05.0 stands twice; expected each moment once":                 {"a.samples.csv", sampleHeader + "1,0:05,out,,\n1,0:05,long,,"},
		"b/a.samples.csv:2: the clock 5:00.1 is past the bell":                                         {"a.samples.csv", sampleHeader + "1,5:00.1,out,,"},
		"b/a.samples.csv:2: round 4; expected 1 to 3":                                                  {"a.samples.csv", sampleHeader + "4,0:05,out,,"},
		"b/a.samples.csv: there are no samples":                                                        {"a.samples.csv", sampleHeader},
		`b/a.samples.csv:1:1: column "range" is missing`:                                               {"a.samples.csv", "round,clock\n"},
		`b/a.exchanges.csv:2: led "both" is not known`:                                                 {"a.exchanges.csv", exchangeHeader + "1,0:05,both,jab,,,,"},
		`b/a.exchanges.csv:2: first "jabb" is not known; did you mean "jab"?`:                          {"a.exchanges.csv", exchangeHeader + "1,0:05,red,jabb,,,,"},
		`b/a.exchanges.csv:2: which act "hook" is cannot be told; expected lead_hook or rear_hook`:     {"a.exchanges.csv", exchangeHeader + "1,0:05,red,hook,,,,"},
		`b/a.exchanges.csv:2: which act "roundhouse" is`:                                               {"a.exchanges.csv", exchangeHeader + "1,0:05,red,roundhouse,,,,"},
		"b/a.exchanges.csv:2: step_in as the first act of an exchange; expected a strike on the feet":  {"a.exchanges.csv", exchangeHeader + "1,0:05,red,step_in,,,,"},
		"b/a.exchanges.csv:2: ground_strike as the first act of an exchange":                           {"a.exchanges.csv", exchangeHeader + "1,0:05,red,ground_strike,,,,"},
		`b/a.exchanges.csv:2: clean_red "1.5"; expected a whole number from 0 to 99`:                   {"a.exchanges.csv", exchangeHeader + "1,0:05,red,jab,1.5,,,"},
		`b/a.exchanges.csv:2: clean_blue "-1"; expected a whole number from 0 to 99`:                   {"a.exchanges.csv", exchangeHeader + "1,0:05,red,jab,,-1,,"},
		`b/a.exchanges.csv:2: gave_ground "rad" is not known; did you mean "red"?`:                     {"a.exchanges.csv", exchangeHeader + "1,0:05,red,jab,,,rad,"},
		"b/a.exchanges.csv:2: takedown both; expected red, blue, none or nothing; write two exchanges": {"a.exchanges.csv", exchangeHeader + "1,0:05,red,jab,,,,both"},
		"b/a.exchanges.csv:3: round 1 at 0:05.0 stands twice":                                          {"a.exchanges.csv", exchangeHeader + "1,0:05,red,jab,,,,\n1,0:05,red,jab,,,,"},
		"b/a.csv: a coding of every act at level: exchanges; expected <coder>.exchanges.csv":           {"a.csv", header + "1,0:05,red,jab,,,,,"},
		"b: a folder without coarse codings; expected <coder>.exchanges.csv, <coder>.samples.csv":      {"a.txt", ""},
	} {
		_, _, err := ReadBoutFSAll(coarseFolder(coarseBout, map[string]string{c[0]: c[1] + "\n"}), "b")
		require.ErrorContains(t, err, want)
	}
	boxing := strings.Replace(coarseBout, "mma-3x5", "boxing-3x3", 1)
	_, _, err := ReadBoutFSAll(coarseFolder(boxing, map[string]string{"a.exchanges.csv": exchangeHeader + "1,0:05,red,low_kick,,,,\n1,0:09,red,jab,,,,\n"}), "b")
	require.EqualError(t, err, "b/a.exchanges.csv:2: low_kick under boxing-3x3; expected an act that the rule set allows")
	twice := map[string]string{"a.samples.csv": sampleHeader + "1,0:00,out,,\n", "a.samples.tsv": "round\tclock\trange\n1\t0:00\tout\n"}
	_, _, err = ReadBoutFSAll(coarseFolder(coarseBout, twice), "b")
	require.ErrorContains(t, err, "b/a.samples.tsv: the samples of a stand twice")
	_, _, err = ReadBoutFS(coarseFolder(coarseBout, map[string]string{"a.samples.csv": sampleHeader + "1,0:00,out,,\n"}), "b")
	require.ErrorContains(t, err, "b/bout.yaml: the bout is coded by exchanges; expected a coding of every act")
	_, _, err = ReadBoutFSAll(coarseFolder(bookBout, map[string]string{"a.samples.csv": sampleHeader + "1,0:00,out,,\n"}), "b")
	require.ErrorContains(t, err, "b: a folder without full codings; expected at least one *.csv of every act; write level: exchanges in bout.yaml")
}

// A coarse coding with a fault leaves the folder as it was.
func TestWriteCoarseRefuses(t *testing.T) {
	b, err := ReadBout("bout.yaml", []byte(bookBout))
	require.NoError(t, err)
	good := &Coding{Bout: b, Name: "a", Rows: []Row{{Event: Event{Round: 1, Act: Jab}}}}
	for want, c := range map[string]struct {
		full   []*Coding
		coarse []*Coarse
	}{
		"a.samples.csv:2: range":                       {[]*Coding{good}, []*Coarse{{Name: "a", Samples: []Sample{{Round: 1, Range: Head}}}}},
		"a.exchanges.csv:2: -2 clean hits by blue":     {[]*Coding{good}, []*Coarse{{Name: "a", Exchanges: []Exchange{{Round: 1, Clean: [2]int{0, -2}}}}}},
		"a.exchanges.csv:3: the row is earlier":        {[]*Coding{good}, []*Coarse{{Name: "a", Exchanges: []Exchange{{Round: 1, Clock: 2}, {Round: 1, Clock: 1}}}}},
		"a.samples.csv:2: a row that no file can keep": {[]*Coding{good}, []*Coarse{{Name: "a", Samples: []Sample{{Round: 1, Note: "\x1b"}}}}},
		`coding "a" has neither samples`:               {[]*Coding{good}, []*Coarse{{Name: "a"}}},
		`coding "a" stands twice`:                      {[]*Coding{good}, []*Coarse{{Name: "a", Exchanges: []Exchange{}}, {Name: "a", Exchanges: []Exchange{}}}},
		"would be read as a coarse one":                {[]*Coding{{Bout: b, Name: "a.samples", Rows: good.Rows}}, nil},
		"without codings":                              {nil, []*Coarse{{Name: "a", Exchanges: []Exchange{}}}},
	} {
		dir := t.TempDir() + "/bout"
		require.ErrorContains(t, WriteBout(dir, b, c.full, c.coarse...), want)
		require.NoDirExists(t, dir)
	}
	b.Level = levelExchanges
	require.ErrorContains(t, WriteBout(t.TempDir(), b, []*Coding{good}, &Coarse{Name: "a", Exchanges: []Exchange{}}), "with a coding of every act")
}

// What is read and written again is read as the same.
func FuzzCoarse(f *testing.F) {
	f.Add(sampleHeader+"1,0:05,kick,neutral,\n", exchangeHeader+"1,0:05,red,calf kick,1,,neither,blue\n", "clock: down\n")
	f.Add("round;clock;range;note\r\n1;65,3;;\"a\n\"\r\n", "\xff\xfer\x00", "clock: video\nbells: [1]\n")
	f.Fuzz(func(t *testing.T, samples, exchanges, more string) {
		_, read, err := ReadBoutFSAll(coarseFolder(coarseBout+more, map[string]string{"a.samples.csv": samples, "a.exchanges.csv": exchanges}), "b")
		if err != nil {
			return
		}
		c := read.Coarse[0]
		var s, e bytes.Buffer
		require.NoError(t, c.WriteSamples(&s))
		require.NoError(t, c.WriteExchanges(&e))
		_, back, err := ReadBoutFSAll(coarseFolder(coarseBout+"clock: up\n", map[string]string{"a.samples.csv": s.String(), "a.exchanges.csv": e.String()}), "b")
		if len(c.Bout.Coded) == 0 && c.Bout.Ended.How == "" && c.Bout.RuleSet.Name == "mma-3x5" { // more may hold anything of bout.yaml
			require.NoError(t, err)
			for _, one := range []*Coarse{c, back.Coarse[0]} {
				one.Bout, one.Warnings = nil, nil
				for i := range one.Samples {
					one.Samples[i].Line = 0
				}
				for i := range one.Exchanges {
					one.Exchanges[i].Line = 0
				}
			}
			require.Equal(t, c, back.Coarse[0])
		}
	})
}
