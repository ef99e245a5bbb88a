package api

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// failures counts wrong passwords and says when there were too many. It counts
// by person and address together: a stranger elsewhere can lock nobody out, and
// a right password costs nothing.
type failures struct {
	mu    sync.Mutex
	known map[string]*rate.Limiter
}

const (
	wrongAtOnce    = 10
	wrongEvery     = 10 * time.Second // one more try
	mostRemembered = 10_000
)

func (f *failures) tooMany(who string) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	limiter, ok := f.known[who]
	return ok && limiter.Tokens() < 1
}

func (f *failures) note(who string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.known == nil {
		f.known = map[string]*rate.Limiter{}
	}
	limiter, ok := f.known[who]
	if !ok {
		if len(f.known) >= mostRemembered {
			f.forgetQuiet()
		}
		limiter = rate.NewLimiter(rate.Every(wrongEvery), wrongAtOnce)
		f.known[who] = limiter
	}
	limiter.Allow()
}

// forgetQuiet drops those who have all their tries again, or all when there are none.
func (f *failures) forgetQuiet() {
	for who, limiter := range f.known {
		if limiter.Tokens() >= wrongAtOnce {
			delete(f.known, who)
		}
	}
	if len(f.known) >= mostRemembered {
		clear(f.known)
	}
}
