package cmd

import (
	"fmt"
	"io"
	"os"
	"time"

	"github.com/jedib0t/go-pretty/v6/progress"
)

// stagesOn tells how far work in stages is, with the time left: bars on a terminal, plain lines elsewhere. The second function ends it.
func stagesOn(w io.Writer) (tell func(stage string, done, of int), end func()) {
	if file, ok := w.(*os.File); ok {
		if info, err := file.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
			return stageBars(w)
		}
	}
	return stageLines(w, time.Now), func() {}
}

// stageLines prints at most one line every two seconds.
func stageLines(w io.Writer, now func() time.Time) func(stage string, done, of int) {
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

// stageBars draws a bar a stage.
func stageBars(w io.Writer) (tell func(stage string, done, of int), end func()) {
	p := progress.NewWriter()
	p.SetOutputWriter(w)
	p.SetUpdateFrequency(100 * time.Millisecond)
	p.SetTrackerLength(40)
	p.Style().Visibility.Speed = false
	p.Style().Visibility.ETA = true
	var tracker *progress.Tracker
	drawn := make(chan struct{})
	go func() {
		p.Render()
		close(drawn)
	}()
	return func(stage string, done, of int) {
			if tracker == nil || tracker.Message != stage {
				tracker = &progress.Tracker{Message: stage, Total: int64(of)}
				p.AppendTracker(tracker)
			}
			tracker.SetValue(int64(done))
		}, func() {
			if tracker != nil {
				tracker.MarkAsDone()
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
