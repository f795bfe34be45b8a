package tape

import (
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawBout(t *rapid.T) *Bout {
	b := &Bout{ID: drawText(t, "id"), Coder: drawText(t, "coder"), Level: "events", Kind: rapid.SampledFrom([]string{"bout", "sparring"}).Draw(t, "kind"),
		Date: rapid.SampledFrom([]string{"", "2026-02-28", "1999-12-31"}).Draw(t, "date"), Usual: rapid.Bool().Draw(t, "usual"),
		Invented: rapid.Bool().Draw(t, "invented"), Ended: Ended{Winner: NoCorner}}
	b.Fighters = [2]Fighter{{ID: "red " + drawText(t, "red")}, {ID: "blue " + drawText(t, "blue")}}
	if rapid.Bool().Draw(t, "body") {
		metres := rapid.Float64Range(1.2, 1.5)
		b.Fighters[0].Body = &Physique{metres.Draw(t, "stature"), metres.Draw(t, "span"), metres.Draw(t, "leg"),
			rapid.Float64Range(30, 250).Draw(t, "weight"), rapid.SampledFrom([]Value{Orthodox, Southpaw}).Draw(t, "stance")}
	}
	b.Rules, b.RuleSet = drawRules(t)
	if rapid.Bool().Draw(t, "own area") {
		area := drawArea(t)
		b.Area, b.RuleSet.Area = &area, area
	}
	for i := range b.LookedFor {
		b.LookedFor[i] = rapid.Bool().Draw(t, "looked for")
	}
	b.Corners = [2]bool{rapid.Bool().Draw(t, "red"), rapid.Bool().Draw(t, "blue")}
	clock := rapid.Int64Range(0, int64(b.RuleSet.RoundSeconds)*1e6)
	b.End = clock.Draw(t, "end")
	if rapid.Bool().Draw(t, "ended") {
		b.Ended.How = rapid.SampledFrom(Endings()).Draw(t, "how")
		if hasWinner(b.Ended.How) {
			b.Ended.Winner = Corner(rapid.IntRange(0, 1).Draw(t, "winner"))
		}
		if rapid.Bool().Draw(t, "when") {
			b.Ended.Round, b.Ended.Clock = uint8(b.RuleSet.Rounds), clock.Draw(t, "clock")
		}
	}
	if rapid.Bool().Draw(t, "coded") {
		for round := range b.RuleSet.Rounds {
			from := rapid.Int64Range(0, int64(b.RuleSet.RoundSeconds)*1e6-1).Draw(t, "from")
			to := rapid.Int64Range(from+1, int64(b.RuleSet.RoundSeconds)*1e6).Draw(t, "to")
			b.Coded = append(b.Coded, Interval{uint8(round + 1), from, to})
		}
	}
	return b
}

func drawRules(t *rapid.T) (string, *RuleSet) {
	if rapid.Bool().Draw(t, "own rules") {
		return "own rules.yaml", drawRuleSet(t)
	}
	name := rapid.SampledFrom(RuleSetNames()).Draw(t, "rules")
	r, err := RuleSetNamed(name)
	require.NoError(t, err)
	return name, r
}

// drawRows draws rows whose words fit, in coded time, in order.
func drawRows(t *rapid.T, b *Bout) []Row {
	var acts []Act
	for a := NoAct + 1; a < NumActs; a++ {
		m := MoveOf(a, NoValue)
		if a.IsState() || m != NoMove && b.RuleSet.Allowed[m] && len(a.values()) == 1 {
			acts = append(acts, a)
		}
	}
	var rows []Row
	for i := range rapid.IntRange(1, 12).Draw(t, "rows") {
		r := Row{Note: rapid.SampledFrom([]string{"", "", `a "note", with all`, "two\nlines", " x "}).Draw(t, "note"), Line: i}
		r.Round, r.Clock = drawTime(t, b)
		r.Act = rapid.SampledFrom(acts).Draw(t, "act")
		r.Value = rapid.SampledFrom(r.Act.values()).Draw(t, "value")
		r.Result = rapid.SampledFrom(r.Act.results()).Draw(t, "result")
		r.Corner = Corner(rapid.IntRange(0, 1).Draw(t, "corner"))
		if r.Act.IsState() && r.Act != StateStance && rapid.Bool().Draw(t, "pair") {
			r.Corner = NoCorner
		}
		var defences []Defence
		for d := range NumDefences {
			if d.fits(r.Act) {
				defences = append(defences, d)
			}
		}
		r.Defence = rapid.SampledFrom(defences).Draw(t, "defence")
		if r.Act.IsAttack() {
			r.How = How(rapid.IntRange(0, int(NumHows)-1).Draw(t, "how"))
		}
		if !r.Act.IsState() {
			r.Limb = Limb(rapid.IntRange(0, int(NumLimbs)-1).Draw(t, "limb"))
		}
		rows = append(rows, r)
	}
	slices.SortStableFunc(rows, func(a, b Row) int {
		switch {
		case a.before(&b):
			return -1
		case b.before(&a):
			return 1
		}
		return 0
	})
	for i := range rows {
		rows[i].Line = 0
	}
	return rows
}

func drawTime(t *rapid.T, b *Bout) (round uint8, clock int64) {
	in := Interval{uint8(rapid.IntRange(1, b.RuleSet.Rounds).Draw(t, "round")), 0, int64(b.RuleSet.RoundSeconds) * 1e6}
	if len(b.Coded) > 0 {
		in = rapid.SampledFrom(b.Coded).Draw(t, "interval")
	}
	return in.Round, rapid.Int64Range(in.From, in.To).Draw(t, "clock")
}

// A round of mma-3x5 and the rest after it take 300 and 60 s (Unified Rules of MMA).
func TestVideoTime(t *testing.T) {
	rules, err := RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	b := &Bout{RuleSet: rules}
	for _, c := range []struct {
		bells []int64
		round uint8
		want  int64
		known bool
	}{
		{nil, 1, 10e6, false}, {nil, 3, 730e6, false},
		{[]int64{12e6, 400e6}, 1, 22e6, true}, {[]int64{12e6, 400e6}, 2, 410e6, true}, {[]int64{12e6, 400e6}, 3, 770e6, false},
	} {
		b.Files.Bells = c.bells
		got, known := b.VideoTime(c.round, 10e6)
		require.Equal(t, c.want, got)
		require.Equal(t, c.known, known)
	}
}

// A bout knows its files by a hash of all that was read of its folder: any byte of the coding, of bout.yaml or of the rule set changes it, and
// what is not read does not. The digest is held against one made by hand of the lines "name, tab, digest of the file".
func TestFilesOfABout(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
		b, _, err := ReadBoutDir(dir)
		if err != nil {
			return ""
		}
		require.Equal(t, filepath.Join(dir, "bout.yaml"), b.Files.Bout)
		return b.Files.SHA256
	}
	const yaml, rows = "format: whatbout.bout/1\nid: one\nred: vole\nblue: shrew\nrules: mma-3x5\n", "round,clock,corner,act\n1,0:01.0,red,jab\n"
	write("bout.yaml", yaml)
	first := write("anna.csv", rows)
	digest := func(s string) string { return fmt.Sprintf("%x", sha256.Sum256([]byte(s))) }
	require.Equal(t, digest("anna.csv\t"+digest(rows)+"\nbout.yaml\t"+digest(yaml)+"\n"), first)
	require.Equal(t, first, write("notes.txt", "not read"))
	write("bout.yaml", yaml+"clock: video\nbells: [\"0:00.5\", \"6:20\"]\n")
	b, _, err := ReadBoutDir(dir)
	require.NoError(t, err)
	require.Equal(t, []int64{500_000, 380_000_000}, b.Files.Bells)
	write("bout.yaml", yaml)
	later := write("anna.csv", strings.Replace(rows, "0:01.0", "0:01.1", 1))
	require.NotEqual(t, first, later)
	require.NotEqual(t, later, write("bout.yaml", yaml+"usual: false\n"))
	write("bout.yaml", yaml)
	require.Equal(t, first, write("anna.csv", rows))
	require.NotEqual(t, first, write("ben.csv", rows))
}

// Reading and writing again loses no value: bout, rule set, codings, notes, the order of rows with equal clocks.
func TestBoutRoundTrip(t *testing.T) {
	root := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		dir, err := os.MkdirTemp(root, "")
		require.NoError(t, err)
		b := drawBout(t)
		codings := []*Coding{{Bout: b, Name: "anna", Rows: drawRows(t, b)}, {Bout: b, Name: "ben 2", Rows: drawRows(t, b)}}
		require.NoError(t, WriteBout(dir, b, codings))
		back, read, err := ReadBoutDir(dir)
		require.NoError(t, err)
		fromFS, _, err := ReadBoutFS(os.DirFS(root), filepath.Base(dir))
		require.NoError(t, err)
		require.Equal(t, Files{filepath.Join(dir, "bout.yaml"), nil, fromFS.Files.SHA256}, back.Files)
		require.Len(t, back.Files.SHA256, 64)
		back.Files, fromFS.Files = Files{}, Files{}
		require.Equal(t, back, fromFS)
		require.Equal(t, b, back)
		require.Len(t, read, 2)
		for i, c := range read {
			require.Equal(t, codings[i].Name, c.Name)
			lines := 0
			for j := range c.Rows {
				require.Greater(t, c.Rows[j].Line, lines)
				lines, c.Rows[j].Line = c.Rows[j].Line, 0
			}
			require.Equal(t, codings[i].Rows, c.Rows)
			require.Equal(t, c.Rows[0].Event, c.Events()[0])
		}
	})
}

const plainBout = `format: whatbout.bout/1
id: one
red: heron
blue: {id: otter, body: {stature: 1.8, span: 1.85, leg: 0.95, weight: 77, stance: southpaw}}
rules: mma-3x5
ended: {how: tko, winner: red, round: 2, clock: "3:10.0"}
coded:
  - {round: 1}
  - {round: 2, from: "1:00.0", to: "3:10.0"}
`

const header = "round,clock,corner,act,value,defence,result,how,limb\n"

func folderOf(bout string, codings ...string) fstest.MapFS {
	fsys := fstest.MapFS{"b/bout.yaml": {Data: []byte(bout)}}
	for i, c := range codings {
		fsys["b/"+string(rune('a'+i))+".csv"] = &fstest.MapFile{Data: []byte(c)}
	}
	return fsys
}

func TestReadBout(t *testing.T) {
	b, codings, err := ReadBoutFS(folderOf(plainBout, header+"1,0:00.0,,range,out,,,,\n2,1:00.0,red,jab,head,none,clean,set,lead\n"), "b")
	require.NoError(t, err)
	require.Equal(t, "otter", b.Fighters[1].ID)
	require.Equal(t, Southpaw, b.Fighters[1].Body.Stance)
	require.Nil(t, b.Fighters[0].Body)
	require.True(t, b.Usual)
	require.Equal(t, AllGroups(), b.LookedFor)
	require.Equal(t, Ended{"tko", RedCorner, 2, 190e6}, b.Ended)
	require.Equal(t, []Interval{{1, 0, 300e6}, {2, 60e6, 190e6}}, b.Coded)
	require.Equal(t, 3, codings[0].Rows[1].Line)
}

func TestBoutFaults(t *testing.T) {
	_, err := ReadBout("bout.yaml", []byte(`format: whatbout.bout/9
id: ""
date: 2026-02-30
red: heron
blue: {id: heron, body: {stature: .inf, span: 2, leg: 1, weight: 80, stance: left}}
rules: mma-3x6
level: all
looked_for: [steps, fients]
corners: [red, green]
coded:
  - {round: 2, from: "0:10.0", to: "0:10.0"}
  - {round: 1}
usual: maybe
kind: bot
ended: {how: draw, winner: red, clock: "9:99"}
end: late
winer: red
`))
	for _, want := range []string{"bout.yaml:1:9:", "bout.yaml:2:5:", `bout.yaml:3:7: "2026-02-30" is no date`, "bout.yaml:5:8: both corners are heron",
		"bout.yaml:5:35:", "left", `rule set "mma-3x6" is not known`, `did you mean "mma-3x5"?`, "bout.yaml:7:8:", `did you mean "feints"?`, `"green"`,
		"a stretch without length", "before the last one has ended", "bout.yaml:13:8:", "bout.yaml:14:7:", "nobody wins a draw",
		"a clock without a round", `"9:99" is no clock`, `bout.yaml:16:6: "late" is no clock`, `unknown key "winer"`} {
		require.ErrorContains(t, err, want)
	}
	_, err = ReadBout("bout.yaml", []byte("id: &a x\nred: *a\n"))
	require.ErrorContains(t, err, "anchor")
	_, err = ReadBout("bout.yaml", []byte("rules: own.yaml\n"))
	require.ErrorContains(t, err, `"own.yaml" is not known`)
}

func TestCodingFaults(t *testing.T) {
	for row, want := range map[string]string{
		"1,0:01.0,red,jab,calf,,,,":            `value "calf" does not fit jab; expected nothing or one of head, body, leg`,
		"1,0:01.0,red,circle,head,,,,":         "one of left, right",
		"1,0:01.0,red,range,,,,,":              `value "" does not fit range; expected one of out, kicking`,
		"1,0:01.0,red,body_kick,head,,,,":      "does not fit body_kick",
		"1,0:01.0,red,jab,head,flinch,,,":      `defence "flinch" does not fit jab`,
		"1,0:01.0,red,jab,head,gave_ground,,,": "write step_back",
		"1,0:01.0,red,feint_hip,,step_back,,,": "write gave_ground",
		"1,0:01.0,red,feint_hip,,parry,,,":     "write gave_guard",
		"1,0:01.0,,centre,red,guard,,,":        `defence "guard" does not fit centre; expected nothing`,
		"1,0:01.0,red,jab,head,,stuffed,,":     `result "stuffed" does not fit jab`,
		"1,0:01.0,red,shoot,,,clean,,":         "nothing or one of unknown, taken_down, stuffed",
		"1,0:01.0,red,hand_fight,,,clean,,":    "unknown, made, failed",
		"1,0:01.0,red,step_in,,,made,,":        `result "made" does not fit step_in`,
		"1,0:01.0,red,step_in,,,,set,":         "how for strikes and takedowns only",
		"1,0:01.0,,fence,red,,,,lead":          `limb "lead" does not fit fence`,
		"1,0:01.0,,jab,head,,,,":               "jab without a corner; expected red or blue",
		"1,0:01.0,,stance,southpaw,,,,":        "stance without a corner",
		"1,5:00.1,red,jab,head,,,,":            "the clock 5:00.1 is past the bell; expected at most 5:00.0",
		"4,0:01.0,red,jab,head,,,,":            "round 4; expected 1 to 3 under mma-3x5",
		"3,0:01.0,red,jab,head,,,,":            "round 3 after the bout has ended",
		"2,0:59.9,red,jab,head,,,,":            "round 2 at 0:59.9 is not among the coded time",
		"":                                     "the coding has no rows",
	} {
		_, _, err := ReadBoutFS(folderOf(plainBout, header+row+"\n"), "b")
		require.ErrorContains(t, err, "b/a.csv:", row)
		require.ErrorContains(t, err, want, row)
	}
	boxing := "format: whatbout.bout/1\nid: one\nred: heron\nblue: otter\nrules: boxing-3x3\n"
	_, _, err := ReadBoutFS(folderOf(boxing, header+"1,0:01.0,red,jab,head,,,,\n1,0:02.0,red,low_kick,calf,,,,\n1,0:03.0,red,shoot,,,,,\n1,3:00.5,red,jab,,,,,\n"), "b")
	require.EqualError(t, err, `b/a.csv:3: low_kick_calf under boxing-3x3; expected an act that the rule set allows
b/a.csv:4: shoot under boxing-3x3; expected an act that the rule set allows
b/a.csv:5: the clock 3:00.5 is past the bell; expected at most 3:00.0`)
}

// What good rows and states without a corner look like.
func TestCodingWithoutFaults(t *testing.T) {
	for _, row := range []string{"1,0:01.0,,break,,,,,", "1,0:01.0,,seen,no,,,,", "1,0:01.0,red,leg_caught,yes,,,,", "1,5:00.0,red,feint_leg,,struck,,,lead",
		"1,0:01.0,red,submission,,,made,,", "1,0:01.0,,range,boxing,,,,", "2,3:10.0,blue,sweep,,sprawl,taken_down,,"} {
		_, _, err := ReadBoutFS(folderOf(plainBout, header+row+"\n"), "b")
		require.NoError(t, err, row)
	}
}

func TestFolderFaults(t *testing.T) {
	_, _, err := ReadBoutFS(folderOf(plainBout), "b")
	require.ErrorContains(t, err, "b: a folder without codings; expected at least one *.csv")
	_, _, err = ReadBoutFS(folderOf(plainBout), "c")
	require.ErrorContains(t, err, "c: it is not there")
	_, _, err = ReadBoutFS(fstest.MapFS{"b/a.csv": {Data: []byte(header)}}, "b")
	require.ErrorContains(t, err, "b/bout.yaml: it is not there")
	for _, rules := range []string{"../x.yaml", "bout.yaml"} {
		_, _, err = ReadBoutFS(folderOf("format: whatbout.bout/1\nid: a\nred: b\nblue: c\nrules: "+rules+"\n", header), "b")
		require.ErrorContains(t, err, "b/bout.yaml:5:8:")
	}
	_, _, err = ReadBoutFS(folderOf("format: whatbout.bout/1\nid: a\nred: b\nblue: c\nrules: mine.yaml\n", header), "b")
	require.ErrorContains(t, err, "b/mine.yaml: it is not there")
	// All the faults of all the files at once.
	_, _, err = ReadBoutFS(folderOf("format: whatbout.bout/1\nred: b\nblue: b\nrules: mma-3x5\n", header+"1,0:01.0,red,jabb,,,,,\n", "round\n"), "b")
	for _, want := range []string{`key "id" is missing`, "both corners are b", "b/a.csv:2: act", `b/b.csv:1`} {
		require.ErrorContains(t, err, want)
	}
}

// A file of 1 GiB is refused by its size (it has holes and takes no room), before a byte is read.
func TestHugeCoding(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "bout.yaml"), []byte(plainBout), 0o600))
	huge := filepath.Join(dir, "huge.csv")
	require.NoError(t, os.WriteFile(huge, nil, 0o600))
	require.NoError(t, os.Truncate(huge, 1<<30))
	_, _, err := ReadBoutDir(dir)
	require.EqualError(t, err, huge+": the file has 1073741824 bytes; expected at most 67108864")
}

// A bout with a fault leaves the folder as it was.
func TestWriteBoutRefuses(t *testing.T) {
	b, err := ReadBout("bout.yaml", []byte(plainBout))
	require.NoError(t, err)
	good := Row{Event: Event{Round: 1, Act: Jab}}
	for name, c := range map[string]struct {
		codings []*Coding
		want    string
	}{
		"none":    {nil, "without codings"},
		"act":     {[]*Coding{{Bout: b, Name: "a", Rows: []Row{{Event: Event{Round: 1, Act: Jab, Result: Stuffed}}}}}, "a.csv:2: result"},
		"return":  {[]*Coding{{Bout: b, Name: "a", Rows: []Row{good, {Event: good.Event, Note: "a\r\nb"}}}}, "a.csv:3: a row that no file can keep"},
		"round 0": {[]*Coding{{Bout: b, Name: "a", Rows: []Row{{Event: Event{Act: Jab}}}}}, "no file can keep"},
		"name":    {[]*Coding{{Bout: b, Name: "../a", Rows: []Row{good}}}, "expected the name of a file"},
		"twice":   {[]*Coding{{Bout: b, Name: "a", Rows: []Row{good}}, {Bout: b, Name: "a", Rows: []Row{good}}}, "stands twice"},
	} {
		dir := filepath.Join(t.TempDir(), "bout")
		require.ErrorContains(t, WriteBout(dir, b, c.codings), c.want, name)
		require.NoDirExists(t, dir, name)
	}
	bad := *b
	bad.Fighters[1].ID = bad.Fighters[0].ID
	require.ErrorContains(t, WriteBout(filepath.Join(t.TempDir(), "x"), &bad, []*Coding{{Bout: b, Name: "a", Rows: []Row{good}}}), "both corners")
	bad = *b
	bad.Rules = "../rules.yaml"
	require.ErrorContains(t, WriteBout(filepath.Join(t.TempDir(), "x"), &bad, []*Coding{{Bout: b, Name: "a", Rows: []Row{good}}}), "no rule set in the bout's folder")
	dir := t.TempDir()
	require.NoError(t, WriteBout(dir, b, []*Coding{{Bout: b, Name: "a", Rows: []Row{good}}}))
	require.ErrorContains(t, WriteBout(dir, b, []*Coding{{Bout: b, Name: "b", Rows: []Row{good}}}), "a.csv: the folder has this coding already")
	require.NoFileExists(t, filepath.Join(dir, "b.csv"))
}

// What was not looked for is unknown: every act and state belongs to some group, and to none when nothing was looked for.
func TestLookedFor(t *testing.T) {
	all := AllGroups()
	for a := NoAct + 1; a < NumActs; a++ {
		require.True(t, all.Has(a), a)
		require.Equal(t, a == StateSeen, Groups{}.Has(a), a)
	}
	kicks := groupsOf([]string{"kicks"})
	require.True(t, kicks.Has(LowKick))
	require.False(t, kicks.Has(Jab))
	require.Equal(t, []string{"kicks"}, kicks.Names())
	require.Equal(t, "hand_fights", GroupHandFights.String())
}

func FuzzBout(f *testing.F) {
	f.Add([]byte(plainBout))
	f.Add([]byte("red: {id: a, body: {}}\nblue: [b]\nrules: {a: b}\ncoded: [{round: 1, from: \"0:01.0\"}]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := ReadBout("f.yaml", data)
		if err != nil {
			return
		}
		back, err := ReadBout("f.yaml", b.Write())
		require.NoError(t, err)
		require.Equal(t, b, back)
	})
}
