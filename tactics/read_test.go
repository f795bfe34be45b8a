package tactics

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const stayClose = `format: whatbout.plan/1
name: stay close
intent: "take the lead hand away, give no ground, answer every attack, believe fewer feints as the bout goes on"
adherence: {share: 0.8, sd: 0.1}
rules:
  - name: give no ground
    at: defend
    when: {range: [long, pocket]}
    never: [step_back]
  - name: hand-fight the lead hand
    at: initiate
    multiple: {hand_fight: 3}
    keep_tempo: true
  - name: answer
    at: answer
    only: [attacks, none]
    adherence: {share: 0.5, sd: 0.2}
  - name: believe less later
    at: believe
    when: {round: [2, 3, 4, 5], cue: [hand, hip]}
    multiple: {real: 0.5}
`

func TestRead(t *testing.T) {
	p, err := Read("plan.yaml", []byte(stayClose))
	require.NoError(t, err)
	assert.Equal(t, &Plan{
		Name:      "stay close",
		Intent:    "take the lead hand away, give no ground, answer every attack, believe fewer feints as the bout goes on",
		Adherence: Adherence{0.8, 0.1},
		Rules: []Rule{
			{Name: "give no ground", At: Defend, When: map[Fact][]int{FactRange: {2, 3}}, Multiples: never("step_back")},
			{Name: "hand-fight the lead hand", At: Initiate, Multiples: []Multiple{{"hand_fight", 3}}, KeepTempo: true},
			{Name: "answer", At: Answer, Only: []string{"attacks", "none"}, Adherence: &Adherence{0.5, 0.2}},
			{Name: "believe less later", At: Believe, When: map[Fact][]int{FactRound: {1, 2, 3, 4}, FactCue: {0, 1}},
				Multiples: []Multiple{{"real", 0.5}}},
		},
	}, p)
	data, err := Write(p)
	require.NoError(t, err)
	assert.Equal(t, stayClose, string(data))
}

func TestReadDefaults(t *testing.T) {
	p, err := Read("plan.yaml", []byte("format: whatbout.plan/1\nname: as usual\n"))
	require.NoError(t, err)
	assert.Equal(t, &Plan{Name: "as usual", Adherence: UsualAdherence}, p)
	p, err = Read("plan.yaml", []byte("format: whatbout.plan/1\nname: half\nadherence: {share: 0.5}\nrules:\n"+
		"  - {name: one word, at: initiate, when: {range: [pocket, long, pocket]}, multiple: {jab: 2, cross: 0}, never: spin}\n"))
	require.NoError(t, err)
	assert.Equal(t, Adherence{0.5, UsualAdherence.SD}, p.Adherence)
	assert.Equal(t, []Multiple{{"spin", 0}, {"cross", 0}, {"jab", 2}}, p.Rules[0].Multiples)
	assert.Equal(t, []int{2, 3}, p.Rules[0].When[FactRange])
}

// rule puts lines of a rule into a plan; its first line stands on line 4, column 5.
func rule(lines ...string) string {
	return "format: whatbout.plan/1\nname: test\nrules:\n  - " + strings.Join(lines, "\n    ") + "\n"
}

func TestReadFaults(t *testing.T) {
	for _, row := range []struct{ name, yaml, want string }{
		{"format", "format: whatbout.plan/2\nname: x\n", "p.yaml:1:9: format is \"whatbout.plan/2\"; expected one of whatbout.plan/1"},
		{"name", "format: whatbout.plan/1\n", `key "name" is missing`},
		{"empty name", "format: whatbout.plan/1\nname: \"\"\n", "p.yaml:2:7: the name is empty"},
		{"unprintable", "format: whatbout.plan/1\nname: \"a\\u0007b\"\n", "p.yaml:2:7: name holds a character that cannot be printed"},
		{"key", "format: whatbout.plan/1\nname: x\nrulez: []\n", `p.yaml:3:1: unknown key "rulez"; did you mean "rules"?`},
		{"share", "format: whatbout.plan/1\nname: x\nadherence: {share: 80}\n", "p.yaml:3:20: share is \"80\"; expected a number from 0 to 1"},
		{"point", rule("name: x", "at: defence", "never: [slip]"), `p.yaml:5:9: at is "defence"; expected one of initiate, believe, defend`},
		{"move", rule("name: x", "at: initiate", "never: [jabs]"), `p.yaml:6:13: never is "jabs"; expected one of 5`},
		{"move hint", rule("name: x", "at: initiate", "never: [jabs]"), `did you mean "jab"?`},
		{"move elsewhere", rule("name: x", "at: defend", "only: [parry, jab]"), `p.yaml:6:19: only is "jab"`},
		{"multiple", rule("name: x", "at: initiate", "multiple: {jab: 30}"), "p.yaml:6:21: jab is \"30\"; expected a number from 0 to 20"},
		{"multiple word", rule("name: x", "at: initiate", "multiple: {jap: 3}"), `p.yaml:6:16: unknown key "jap"; did you mean "jab"?`},
		{"fact", rule("name: x", "at: initiate", "when: {rage: [long]}", "never: [jab]"), `p.yaml:6:12: unknown key "rage"; did you mean "range"?`},
		{"value", rule("name: x", "at: initiate", "when: {range: [lung]}", "never: [jab]"), `p.yaml:6:20: range is "lung"`},
		{"no value", rule("name: x", "at: initiate", "when: {range: []}", "never: [jab]"), "p.yaml:6:19: range names nothing that counts"},
		{"cue", rule("name: x", "at: initiate", "when: {cue: [hip]}", "never: [jab]"), "p.yaml:6:17: cue is known at believe and defend only"},
		{"nothing", rule("name: x", "at: initiate"), "p.yaml:4:5: it re-weights nothing"},
		{"all", rule("name: x", "at: defend", "only: [parry]", "never: [parry]"), "forbids everything at the defend point"},
		{"tempo", rule("name: x", "at: defend", "only: [parry]", "keep_tempo: true"), "p.yaml:4:5: keep_tempo counts at initiate only"},
	} {
		p, err := Read("p.yaml", []byte(row.yaml))
		assert.ErrorContains(t, err, row.want, row.name)
		assert.Nil(t, p, row.name)
	}
}

// All faults of a file are listed at once, in the order of the file.
func TestReadListsAllFaults(t *testing.T) {
	_, err := Read("p.yaml", []byte(rule("name: x", "at: initiate", "never: [jabs]")+
		"  - name: y\n    at: answer\n    when: {cue: [hip], centre: [hers]}\n    only: [slip]\n  - name: z\n    at: survive\n"))
	require.Error(t, err)
	var places []string
	for line := range strings.Lines(err.Error()) {
		place, _, _ := strings.Cut(line, " ")
		places = append(places, place)
	}
	assert.Equal(t, []string{"p.yaml:6:13:", "p.yaml:9:17:", "p.yaml:9:33:", "p.yaml:10:12:", "p.yaml:11:5:"}, places)
}

func TestReadTooManyRules(t *testing.T) {
	one := "  - {name: x, at: initiate, never: [jab]}\n"
	head := "format: whatbout.plan/1\nname: x\nrules:\n"
	_, err := Read("p.yaml", []byte(head+strings.Repeat(one, MaxRules)))
	assert.NoError(t, err)
	_, err = Read("p.yaml", []byte(head+strings.Repeat(one, 300)))
	assert.ErrorContains(t, err, "300 rules; expected at most 32")
}

func TestWriteRefuses(t *testing.T) {
	for _, p := range []*Plan{
		{Adherence: UsualAdherence},
		{Name: "two\nlines", Adherence: UsualAdherence},
		{Name: "x", Intent: " y", Adherence: UsualAdherence},
		{Name: "x", Adherence: UsualAdherence, Rules: []Rule{{At: Initiate, Only: []string{"jab"}}}},
		{Name: "x", Adherence: UsualAdherence, Rules: []Rule{{Name: "y", At: Initiate}}},
	} {
		_, err := Write(p)
		assert.Error(t, err, p.Name)
	}
}

// Whatever is read compiles, and is the same after being written and read again.
func FuzzPlan(f *testing.F) {
	f.Add([]byte(stayClose))
	f.Add([]byte(rule("name: x", "at: survive", "never: [swing_back, shell]", "when: {own_back_on_fence: yes}")))
	f.Add([]byte(rule("name: x", "at: defend", "only: guards", "multiple: {parry: 0, guards: 1e-3}", "when: {threat: [shot]}")))
	f.Add([]byte("format: whatbout.plan/1\nname: 'a: \"b\" # c'\nintent: |\n  two\n  lines\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Read("p.yaml", data)
		if err != nil {
			return
		}
		_, err = Compile(p)
		require.NoError(t, err)
		written, err := Write(p)
		require.NoError(t, err)
		back, err := Read("p.yaml", written)
		require.NoError(t, err, string(written))
		assert.Equal(t, p, back)
	})
}
