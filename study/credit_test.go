package study

import (
	"context"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tactics"
)

// never is a rule that holds everywhere and re-weights by one: it changes nothing.
var never = tactics.Rule{Name: "nothing", At: tactics.Answer, Multiples: []tactics.Multiple{{What: "punches", By: 1}}, Adherence: &tactics.Adherence{Share: 1}}

func withRules(rules ...tactics.Rule) *tactics.Plan {
	return &tactics.Plan{Name: "close", Adherence: tactics.UsualAdherence, Rules: rules}
}

func credit(t *testing.T, plan *tactics.Plan) *Credit {
	t.Helper()
	return &Credit{
		Meeting: Meeting{Fighter: fighter.Population("mole", fighter.AverageBody()), Opponent: fighter.Population("newt", fighter.AverageBody()),
			Rules: short(t), Seed: 5},
		Plan: plan, Draws: 20, Bouts: 4, Level: .95,
	}
}

func credited(t *testing.T, q *Credit) *CreditResult {
	t.Helper()
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	return r
}

// six is a plan that is too long for all sets of its rules.
func six() *tactics.Plan {
	r := stayClose.Rules
	return withRules(r[0], r[1], never, r[2], r[3], tactics.Rule{Name: "jab", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "jab", By: 3}}})
}

// Exact: in every measure the shares add up to what the whole plan moves, over all sets and along orders; a rule that re-weights nothing gets
// exactly nothing, first and last, alone and as a share, wherever it stands in the plan; and what is told of the whole is what a comparison tells.
func TestCreditAddsUp(t *testing.T) {
	r := stayClose.Rules
	for name, p := range map[string]*tactics.Plan{"first": withRules(never, r[0], r[1], r[2], r[3]), "last": withRules(r[0], r[2], never), "six": six()} {
		got := credited(t, credit(t, p))
		require.Equal(t, len(p.Rules) <= ExactRules, got.Exact)
		for m := range Measures {
			sum := 0.0
			for _, rule := range got.Rules {
				sum += rule.Moves[m].Share.Mean
			}
			whole := got.Outcomes[m].Effect
			require.InDelta(t, whole.Mean, sum, 1e-9*max(1, math.Abs(whole.Mean)), "%s: %s", name, Measures[m].Name)
		}
		compared := run(t, comparison(t, asUsual, p))
		for _, outcome := range got.Outcomes {
			require.InDelta(t, compared.Find("close", outcome.Outcome).Mean, outcome.Effect.Mean, 1e-9)
			require.InDelta(t, compared.Plans[0].Outcomes[outcome.Outcome].Mean, outcome.Usual, 1e-9)
		}
		moved := 0
		for i, rule := range got.Rules {
			require.Equal(t, p.Rules[i].Name, rule.Rule)
			require.InDelta(t, rule.Last.Mean-rule.Alone.Mean, rule.Depends.Mean, 1e-12)
			if rule.Rule != never.Name {
				moved++
				require.NotZero(t, rule.Share.Mean)
				continue
			}
			for _, c := range []Credited{rule.Share, rule.Alone, rule.Last, rule.Depends} {
				require.Equal(t, Same, c.Resolved)
				require.Zero(t, c.Mean)
				require.Zero(t, c.Simulation.Width())
				require.Zero(t, c.AllDoubt.Width())
			}
			for m := range Measures {
				require.Zero(t, rule.Moves[m].Share.Mean, Measures[m].Name)
			}
		}
		require.Equal(t, len(p.Rules)-1, moved)
	}
}

// Exact: shares together are the sum of shares, over all sets and along orders.
func TestCreditOfGroups(t *testing.T) {
	for _, p := range []*tactics.Plan{stayClose, six()} {
		q := credit(t, p)
		q.Groups = [][]int{{0, 2}, {1}}
		got := credited(t, q)
		require.Len(t, got.Groups, 2)
		require.InDelta(t, got.Rules[0].Share.Mean+got.Rules[2].Share.Mean, got.Groups[0].Mean, 1e-12)
		require.LessOrEqual(t, got.Groups[0].Simulation.Width(), 1e-12+got.Rules[0].Share.Simulation.Width()+got.Rules[2].Share.Simulation.Width())
		require.Equal(t, got.Rules[1].Share, got.Groups[1])
	}
}

// Exact: two equal rules get equal shares, alone, last and of everything, wherever they stand.
func TestCreditOfEquals(t *testing.T) {
	r := stayClose.Rules
	twin := r[1]
	twin.Name = "the same again"
	got := credited(t, credit(t, withRules(r[1], r[0], twin)))
	a, b := got.Rules[0], got.Rules[2]
	require.NotZero(t, a.Share.Mean)
	require.InDelta(t, a.Share.Mean, b.Share.Mean, 1e-12)
	require.InDelta(t, a.Share.Simulation.High, b.Share.Simulation.High, 1e-12)
	require.Equal(t, a.Alone, b.Alone)
	require.Equal(t, a.Last, b.Last)
	for m := range Measures {
		require.InDelta(t, a.Moves[m].Share.Mean, b.Moves[m].Share.Mean, 1e-9)
	}
	require.Equal(t, (8-1)*20*4, got.Work.Bouts, "of eight sets two are the same but for the names of their rules")
}

// Exact: what two rules do together beyond each alone, by hand from a comparison of the four plans; of two rules a share is the mean of first
// and last.
func TestCreditByHand(t *testing.T) {
	r := stayClose.Rules
	first, second, both := *withRules(r[0]), *withRules(r[2]), *withRules(r[0], r[2])
	first.Name, second.Name, both.Name = "first", "second", "both"
	c := run(t, comparison(t, asUsual, &first, &second, &both))
	win := func(plan string) float64 { return c.Find(plan, "win").Mean }
	got := credited(t, credit(t, &both))
	require.InDelta(t, win("both"), got.Effect.Mean, 1e-12)
	require.InDelta(t, win("first"), got.Rules[0].Alone.Mean, 1e-12)
	require.InDelta(t, win("both")-win("first"), got.Rules[1].Last.Mean, 1e-12)
	require.InDelta(t, (win("first")+win("both")-win("second"))/2, got.Rules[0].Share.Mean, 1e-12)
	require.InDelta(t, win("both")-win("first")-win("second"), got.Together.Mean, 1e-12)
	require.Empty(t, got.Pairs)

	three := credited(t, credit(t, withRules(r[0], r[2], never)))
	require.Len(t, three.Pairs, 3)
	require.Equal(t, [2]int{0, 1}, three.Pairs[0].Rules)
	require.InDelta(t, got.Together.Mean, three.Pairs[0].More.Mean, 1e-12, "a rule that does nothing changes nothing between two others")
	require.InDelta(t, win("both"), three.Pairs[0].Together, 1e-12)
	require.InDelta(t, win("first")+win("second"), three.Pairs[0].Apart, 1e-12)
	require.Equal(t, Same, three.Pairs[1].More.Resolved)

	one := credited(t, credit(t, &first))
	require.Equal(t, one.Effect, one.Rules[0].Share)
	require.Equal(t, one.Effect, one.Rules[0].Last)
	require.Equal(t, Same, one.Together.Resolved)
}

// Exact: the same to the last byte for any number of workers, from kept bouts, and under other names; a plan that changes nothing gives exactly
// zero everywhere.
func TestCreditLaws(t *testing.T) {
	for _, p := range []*tactics.Plan{stayClose, six()} {
		var want string
		kept := &memory{held: map[Key][]byte{}}
		for _, workers := range []int{1, 2, 8} {
			for _, store := range []Store{nil, kept} {
				q := credit(t, p)
				q.Workers, q.Store = workers, store
				data, err := json.Marshal(credited(t, q))
				require.NoError(t, err)
				if want == "" {
					want = string(data)
				}
				require.Equal(t, want, string(data), "%d workers", workers)
			}
		}
		renamed := *p
		renamed.Name, renamed.Rules = "by another name", append([]tactics.Rule(nil), p.Rules...)
		for i := range renamed.Rules {
			renamed.Rules[i].Name = "a rule"
		}
		got := credited(t, credit(t, &renamed))
		for i := range got.Rules {
			got.Rules[i].Rule = p.Rules[i].Name
		}
		data, err := json.Marshal(got)
		require.NoError(t, err)
		require.Equal(t, want, string(data), "names move nothing")
	}
	nothing := credited(t, credit(t, withRules(never, never)))
	require.Equal(t, Same, nothing.Effect.Resolved)
	require.Equal(t, Same, nothing.Together.Resolved)
	require.Zero(t, nothing.Work.Plain)
	for _, rule := range nothing.Rules {
		require.Equal(t, Same, rule.Share.Resolved)
		for _, m := range rule.Moves {
			require.Equal(t, Same, m.Share.Resolved)
		}
	}
}

// Interrupted, the draws that were finished are told, and the result is then that of so many draws.
func TestCreditInterrupted(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	q := credit(t, stayClose)
	q.Workers, q.atOnce = 1, 10*16*4 // 16 sets: ten draws at a time
	q.Progress = func(done, of int) {
		if done >= 12 {
			stop()
		}
	}
	r, err := q.Run(ctx)
	require.ErrorIs(t, err, context.Canceled)
	require.True(t, r.Partial)
	require.GreaterOrEqual(t, r.Draws, 12)
	require.Less(t, r.Draws, 20)
	whole := credit(t, stayClose)
	whole.Draws = r.Draws
	again := credited(t, whole)
	again.Partial = true
	require.Equal(t, again, r)

	stop()
	_, err = q.Run(ctx)
	require.ErrorIs(t, err, context.Canceled)
	require.ErrorContains(t, err, "too few")
}

func TestCreditRefuses(t *testing.T) {
	for what, change := range map[string]func(*Credit){
		"without rules": func(q *Credit) { q.Plan = asUsual }, "draws": func(q *Credit) { q.Draws = 3 }, "2 bouts": func(q *Credit) { q.Bouts = 1 },
		"level": func(q *Credit) { q.Level = 1 }, "a group": func(q *Credit) { q.Groups = [][]int{{0, 4}} }, "two different": func(q *Credit) { q.Opponent = q.Fighter },
	} {
		q := credit(t, stayClose)
		change(q)
		_, err := q.Run(context.Background())
		require.ErrorContains(t, err, what)
	}
}
