package web

import "sync"

// Bounds of the answers that are kept, so that undo does not play again.
const (
	mostAnswers     = 60
	mostAnswerBytes = 16 << 20
)

// answers keeps final pictures by the state that they answer; the oldest make room.
type answers struct {
	mu    sync.Mutex
	kept  map[string][]byte
	order []string
	bytes int
}

func (a *answers) get(state string) []byte {
	a.mu.Lock()
	defer a.mu.Unlock()
	return a.kept[state]
}

func (a *answers) put(state string, data []byte) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.kept == nil {
		a.kept = map[string][]byte{}
	}
	if _, known := a.kept[state]; known {
		return
	}
	a.kept[state], a.order, a.bytes = data, append(a.order, state), a.bytes+len(data)
	for len(a.order) > 1 && (len(a.order) > mostAnswers || a.bytes > mostAnswerBytes) {
		a.bytes -= len(a.kept[a.order[0]])
		delete(a.kept, a.order[0])
		a.order = a.order[1:]
	}
}
