package cmd

import (
	"fmt"
	"io"
	"os"
	"time"

	"github.com/jedib0t/go-pretty/v6/progress"
)

// teller is told how far a stage of long work is. The total may grow while it runs.
type teller func(stage string, done, of int)

// of is told of one stage alone.
func (t teller) of(stage string) func(done, of int) {
	return func(done, of int) { t(stage, done, of) }
}

// progressOn tells how far long work is, with the time left: bars on a terminal, plain lines elsewhere. The second function ends it.
func progressOn(w io.Writer) (tell teller, end func()) {
	if file, ok := w.(*os.File); ok {
		if info, err := file.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
			return bars(w)
		}
	}
	return lines(w, time.Now), func() {}
}

// lines prints at most one line every two seconds.
func lines(w io.Writer, now func() time.Time) teller {
	last, began, current := now(), now(), ""
	return func(stage string, done, of int) {
		at := now()
		if stage != current {
			current, began = stage, at
		}
		if at.Sub(last) <= 2*time.Second {
			return
		}
		last = at
		fmt.Fprintf(w, "%d of %d %s%s\n", done, of, stage, timeLeft(at.Sub(began), done, of))
	}
}

// timeLeft takes what is left to go as fast as what is done.
func timeLeft(since time.Duration, done, of int) string {
	if done == 0 || since <= 0 {
		return ""
	}
	left := time.Duration(float64(since) / float64(done) * float64(of-done))
	return fmt.Sprintf(", about %s left", left.Round(time.Second))
}

// bars draws a bar a stage.
func bars(w io.Writer) (tell teller, end func()) {
	p := progress.NewWriter()
	p.SetOutputWriter(w)
	p.SetUpdateFrequency(100 * time.Millisecond)
	p.SetTrackerLength(40)
	p.Style().Visibility.Speed = false
	p.Style().Visibility.ETA = true
	var t *progress.Tracker
	drawn := make(chan struct{})
	go func() {
		p.Render()
		close(drawn)
	}()
	return func(stage string, done, of int) {
			if t == nil || t.Message != stage {
				if t != nil {
					t.MarkAsDone()
				}
				t = &progress.Tracker{Message: stage, Total: 1}
				p.AppendTracker(t)
			}
			t.UpdateTotal(int64(of) + 1) // one is left for the end, so that a growing total never looks done
			t.SetValue(int64(done))
		}, func() {
			if t != nil {
				t.MarkAsDone()
			}
			for {
				p.Stop() // has no effect before drawing has begun
				select {
				case <-drawn:
					return
				case <-time.After(5 * time.Millisecond):
				}
			}
		}
}
