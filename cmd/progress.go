package cmd

import (
	"fmt"
	"io"
	"os"
	"time"

	"github.com/jedib0t/go-pretty/v6/progress"
)

// progressOn tells how far long work is: a bar on a terminal, plain lines elsewhere. The second function ends it.
func progressOn(w io.Writer) (tell func(done, of int), end func()) {
	if file, ok := w.(*os.File); ok {
		if info, err := file.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
			return bar(w)
		}
	}
	return lines(w, time.Now), func() {}
}

// lines prints at most one line a second.
func lines(w io.Writer, now func() time.Time) func(done, of int) {
	last := now()
	return func(done, of int) {
		if now().Sub(last) > time.Second {
			last = now()
			fmt.Fprintf(w, "%d of %d draws\n", done, of)
		}
	}
}

// bar draws a bar that ends with the work. The total may grow while it runs.
func bar(w io.Writer) (tell func(done, of int), end func()) {
	p := progress.NewWriter()
	p.SetOutputWriter(w)
	p.SetUpdateFrequency(100 * time.Millisecond)
	p.SetTrackerLength(40)
	p.Style().Visibility.Speed = false
	t := &progress.Tracker{Message: "draws", Total: 1}
	p.AppendTracker(t)
	drawn := make(chan struct{})
	go func() {
		p.Render()
		close(drawn)
	}()
	return func(done, of int) {
			t.UpdateTotal(int64(of) + 1) // one is left for the end, so that a growing total never looks done
			t.SetValue(int64(done))
		}, func() {
			t.MarkAsDone()
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
