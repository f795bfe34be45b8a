package web

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"regexp"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"whatbout/report"
)

const quick = "rules=short.yaml&plan=press&draws=24&bouts=4"

// Exact: pictures come from coarse to fine, the last is the comparison itself, and asked for again it is the same to the byte.
func TestAnAnswerGrowsToTheComparison(t *testing.T) {
	s, h := open(t, place(t), Options{})
	var pictures []*Picture
	see := func(event string, p *Picture) bool {
		require.Equal(t, "picture", event)
		pictures = append(pictures, p)
		return true
	}
	stream(t, h.URL+"/answer?"+quick, see)
	require.True(t, pictures[0].Rough)
	draws := []int{}
	for _, p := range pictures {
		draws = append(draws, p.Draws)
		require.NotEmpty(t, p.Sentence)
		require.Equal(t, []string{"plan-1-way", "plan-1-price", "plan-1-doubt", "little-tape"}, ids(p)) // on the way before the difference in doubt
	}
	require.Equal(t, []int{6, 6, 12, 24}, draws)
	last := pictures[len(pictures)-1]
	require.True(t, last.Final)
	state, err := Parse(quick)
	require.NoError(t, err)
	a, err := s.ask(state)
	require.NoError(t, err)
	r, err := a.q.Run(t.Context())
	require.NoError(t, err)
	page, err := report.NewPage(s.describe(a, r), nil)
	require.NoError(t, err)
	var whole strings.Builder
	require.NoError(t, page.HTML(&whole))
	for _, part := range last.Parts {
		for _, figure := range part.Figures {
			require.True(t, strings.Contains(whole.String(), figure), part.ID)
		}
	}
	pictures = nil
	stream(t, h.URL+"/answer?"+quick, see)
	require.Equal(t, []*Picture{last}, pictures)
}

func ids(p *Picture) (out []string) {
	for _, part := range p.Parts {
		out = append(out, part.ID)
	}
	return out
}

// Win shares are shown as a difference alone: neither plan's own share stands anywhere in a picture.
func TestNoShareStandsAlone(t *testing.T) {
	_, h := open(t, place(t), Options{})
	stream(t, h.URL+"/answer?"+quick, func(_ string, p *Picture) bool {
		all := fmt.Sprint(p)
		require.False(t, regexp.MustCompile(`\d won\b|favourite|won of|A hundred bouts`).MatchString(all))
		require.Contains(t, p.Worth, "Bouts won")
		return true
	})
}

// Nothing is played where nothing differs, and who compares a pinned way with itself is told so.
func TestNothingToCompare(t *testing.T) {
	_, h := open(t, place(t), Options{})
	for query, want := range map[string]string{"": "Nothing differs yet", "plan=press&pin=yes&pin-plan=press": "pinned baseline itself"} {
		n := 0
		stream(t, h.URL+"/answer?"+query, func(_ string, p *Picture) bool {
			n++
			require.True(t, p.Final && p.Nothing)
			require.Contains(t, p.Sentence, want)
			return true
		})
		require.Equal(t, 1, n)
	}
}

// More bites on feints are more feints bitten on (the dial's own definition); what the opponent's does is the opponent's.
func TestSlidersMoveTheAnswerTheRightWay(t *testing.T) {
	s, _ := open(t, place(t), Options{})
	bites := func(query string) (float64, float64) {
		state, err := Parse("rules=short.yaml&draws=40&bouts=6&" + query)
		require.NoError(t, err)
		a, err := s.ask(state)
		require.NoError(t, err)
		r, err := a.q.Run(t.Context())
		require.NoError(t, err)
		d := r.Find(a.q.Plans[1].Name, "bites_per_minute")
		return d.Simulation.Low, d.Simulation.High
	}
	low, _ := bites("set=own.bites.hip:10&set=own.bites.hand:10")
	require.Positive(t, low)
	_, high := bites("set=own.bites.hip:0&set=own.bites.hand:0")
	require.Negative(t, high)
	low, high = bites("plan=press&set=own.bites.hip:0&pin=yes&pin-plan=press&pin-set=own.bites.hip:0&seed=3") // the same twice
	require.Equal(t, [2]float64{}, [2]float64{low, high})
}

// settle waits until goroutines are back to what they were.
func settle(t *testing.T, before int) {
	t.Helper()
	http.DefaultClient.CloseIdleConnections()
	require.Eventually(t, func() bool { return runtime.NumGoroutine() <= before+2 }, 10*time.Second, 20*time.Millisecond, "goroutines are left")
}

// A thousand slider moves, each leaving the answer before, leave nothing behind: goroutines and memory are flat.
func TestAThousandSliderMovesLeaveNothing(t *testing.T) {
	s, h := open(t, place(t), Options{})
	before := runtime.NumGoroutine()
	heap := func() int64 {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return int64(m.HeapAlloc)
	}
	move := func(i int) {
		stream(t, fmt.Sprintf("%s/answer?rules=short.yaml&draws=400&bouts=2&set=own.bites.hip:%d.%03d", h.URL, i/1000, i%1000), func(string, *Picture) bool { return false })
	}
	for i := range 100 {
		move(i)
	}
	early := heap()
	for i := 100; i < 1000; i++ {
		move(i)
	}
	settle(t, before)
	require.Less(t, heap()-early, int64(4<<20))
	require.Eventually(t, func() bool { return free(s) == s.Running }, 5*time.Second, time.Millisecond)
	require.Empty(t, s.answers.order)
}

// Of a thousand runs at once a few play, a few wait and are told so, the others are refused with a word; the page stays alive, and all that is
// left goes when they go.
func TestAThousandRunsAtOnce(t *testing.T) {
	s, h := open(t, place(t), Options{Running: 2, Waiting: 5})
	before := runtime.NumGoroutine()
	ctx, stop := context.WithCancel(t.Context())
	codes := make(chan int, 1000)
	client := &http.Client{Transport: &http.Transport{MaxConnsPerHost: 100}}
	var wait sync.WaitGroup
	for i := range 1000 {
		wait.Go(func() {
			ask, _ := http.NewRequestWithContext(ctx, http.MethodGet, fmt.Sprintf("%s/answer?rules=short.yaml&plan=press&draws=400&bouts=60&seed=%d", h.URL, i), nil)
			r, err := client.Do(ask)
			if err != nil {
				return
			}
			codes <- r.StatusCode
			if r.StatusCode == http.StatusOK {
				<-ctx.Done()
			}
			r.Body.Close()
		})
	}
	require.Eventually(t, func() bool { return len(codes) >= 900 }, 20*time.Second, 10*time.Millisecond)
	at := time.Now()
	code, _, _ := get(t, h.URL+"/")
	require.Equal(t, 200, code)
	require.Less(t, time.Since(at), 2*time.Second)
	stop()
	wait.Wait()
	close(codes)
	tally := map[int]int{}
	for code := range codes {
		tally[code]++
	}
	require.Greater(t, tally[503], 800, tally)
	require.Positive(t, tally[200], tally)
	require.Len(t, tally, 2)
	client.CloseIdleConnections()
	settle(t, before)
	require.Eventually(t, func() bool { return free(s) == 2 }, 5*time.Second, time.Millisecond)
	require.Empty(t, s.queue.waiting)
}

// free is how many runs may begin.
func free(s *Server) int {
	s.queue.mu.Lock()
	defer s.queue.mu.Unlock()
	return s.queue.free
}

// Who waits is told the place, and begins when who plays leaves.
func TestWhoWaitsIsToldSo(t *testing.T) {
	_, h := open(t, place(t), Options{Running: 1, Waiting: 1})
	ctx, stop := context.WithCancel(t.Context())
	ask, err := http.NewRequestWithContext(ctx, http.MethodGet, h.URL+"/answer?plan=press&draws=400&bouts=60", nil)
	require.NoError(t, err)
	first, err := http.DefaultClient.Do(ask)
	require.NoError(t, err)
	defer first.Body.Close()
	var events []string
	stream(t, h.URL+"/answer?"+quick, func(event string, p *Picture) bool {
		events = append(events, event)
		stop()
		return event == "queued"
	})
	require.Equal(t, []string{"queued", "picture"}, events)
}

// A run ends at its longest time, shows what there is and says so.
func TestARunHasALongestTime(t *testing.T) {
	_, h := open(t, place(t), Options{RunFor: 1500 * time.Millisecond})
	var last *Picture
	stream(t, h.URL+"/answer?plan=press&draws=1000&bouts=24", func(_ string, p *Picture) bool { last = p; return true })
	require.False(t, last.Final)
	require.Contains(t, fmt.Sprint(last.Notes), "was ended")
	require.Less(t, last.Draws, 1000)
}

// narrow gives connections that hold little on the way, so that a slow reader is felt.
type narrow struct{ net.Listener }

func (n narrow) Accept() (net.Conn, error) {
	c, err := n.Listener.Accept()
	if err == nil {
		err = c.(*net.TCPConn).SetWriteBuffer(4096)
	}
	return c, err
}

// A reader who asks and does not read is given up, and his run with him.
func TestASlowReaderIsGivenUp(t *testing.T) {
	s, _ := open(t, place(t), Options{Running: 1, Patience: 300 * time.Millisecond})
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error)
	go func() { ended <- s.Serve(ctx, narrow{l}) }()
	c, err := net.Dial("tcp", l.Addr().String())
	require.NoError(t, err)
	defer c.Close()
	require.NoError(t, c.(*net.TCPConn).SetReadBuffer(4096))
	_, err = fmt.Fprintf(c, "GET /answer?plan=press&draws=1000&bouts=24 HTTP/1.1\r\nHost: localhost\r\n\r\n")
	require.NoError(t, err)
	require.Eventually(t, func() bool { return free(s) == 0 }, 5*time.Second, time.Millisecond, "it begins")
	require.Eventually(t, func() bool { return free(s) == 1 }, 5*time.Second, time.Millisecond, "it is given up")
	stop() // as Ctrl-C does
	require.NoError(t, <-ended)
}

// Headers that do not come are not waited for, and the number of connections is bounded.
func TestConnectionsAreBounded(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	two := limit(l, 2)
	got := make(chan net.Conn, 3)
	go func() {
		for {
			c, err := two.Accept()
			if err != nil {
				close(got)
				return
			}
			got <- c
		}
	}()
	for range 3 {
		c, err := net.Dial("tcp", l.Addr().String())
		require.NoError(t, err)
		defer c.Close()
	}
	first := <-got
	<-got
	select {
	case <-got:
		t.Fatal("a third connection was taken")
	case <-time.After(50 * time.Millisecond):
	}
	first.Close()
	first.Close() // closing twice frees one place, not two
	<-got
	require.NoError(t, two.Close())
	_, more := <-got
	require.False(t, more)
}
