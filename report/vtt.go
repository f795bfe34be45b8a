package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"whatbout/tape"
)

// Cue is text over a stretch of a video. Times are µs from its start, 0 or more; To comes after From.
type Cue struct {
	From, To int64
	Text     string // plain; line breaks stay, empty lines do not
}

// Around a clip, µs: enough to see what led to it and what followed.
const cueBefore, cueAfter = 2_000_000, 3_000_000

// cueAround is a cue over the video around a moment of a bout.
func cueAround(b *tape.Bout, round uint8, clock int64, text string) Cue {
	at, _ := b.VideoTime(round, clock)
	return Cue{max(at-cueBefore, 0), at + cueAfter, text}
}

// videoNote says what video time rests on.
func videoNote(b *tape.Bout) string {
	if len(b.Files.Bells) > 0 {
		return "Video time is that of the bells in bout.yaml; a round without a bell there follows at the rule set's lengths of rounds and rests."
	}
	return "Video time here is rounds and rests of the rule set's length with the clock added, as if the video began at the first bell and ran on. " +
		"Shift the cues if it does not, or give clock: video and bells in bout.yaml."
}

// WriteVTT writes cues as WebVTT (W3C, WebVTT: The Web Video Text Tracks Format, section 4.1) in the order of their times, after notes, each
// of which becomes a comment. In text &, < and > are escaped, so that nothing in it is markup.
func WriteVTT(w io.Writer, notes []string, cues []Cue) error {
	cues = slices.SortedStableFunc(slices.Values(cues), func(a, b Cue) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To)) })
	var b strings.Builder
	b.WriteString("WEBVTT\n")
	for _, note := range notes {
		// A comment ends at an empty line and may not hold an arrow.
		b.WriteString("\nNOTE " + strings.ReplaceAll(oneBlock(note), "-->", "->") + "\n")
	}
	for i, c := range cues {
		if c.From < 0 || c.To <= c.From {
			panic(fmt.Sprintf("report: a cue from %d to %d", c.From, c.To))
		}
		fmt.Fprintf(&b, "\n%d\n%s --> %s\n%s\n", i+1, videoTime(c.From), videoTime(c.To), escapeVTT(oneBlock(c.Text)))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// videoTime writes hh:mm:ss.mmm, with more digits for a hundred hours.
func videoTime(us int64) string {
	ms := us / 1000
	return fmt.Sprintf("%02d:%02d:%02d.%03d", ms/3600e3, ms/60e3%60, ms/1e3%60, ms%1e3)
}

// escapeVTT takes out what cue text may not hold.
func escapeVTT(s string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(s)
}

// oneBlock takes out empty lines, which would end the block, and what no text file should hold.
func oneBlock(s string) string {
	s = strings.Map(func(r rune) rune {
		if r == 0 || r == '\r' {
			return '\n'
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
	lines := slices.DeleteFunc(strings.Split(s, "\n"), func(line string) bool { return strings.TrimSpace(line) == "" })
	return strings.Join(lines, "\n")
}
