package web

import (
	"sync"
	"time"
)

// mostKeys is how many names a limiter remembers. Beyond it the whole table
// is shared, so that a flood of names cannot take the memory.
const mostKeys = 10_000

// limiter lets each key do something so many times in a span, and gives the
// allowance back evenly.
type limiter struct {
	mu    sync.Mutex
	now   func() time.Time
	most  float64
	every time.Duration // for one more
	keys  map[string]bucket
}

type bucket struct {
	left float64
	at   time.Time
}

func newLimiter(now func() time.Time, most int, span time.Duration) *limiter {
	return &limiter{now: now, most: float64(most), every: span / time.Duration(most), keys: map[string]bucket{}}
}

// allow takes one from the key's allowance and tells whether there was one.
func (l *limiter) allow(key string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	b, known := l.keys[key]
	if !known {
		if len(l.keys) >= mostKeys {
			l.forget(now)
		}
		if len(l.keys) >= mostKeys {
			key = ""
		}
		if b, known = l.keys[key]; !known {
			b = bucket{l.most, now}
		}
	}
	if passed := now.Sub(b.at); passed > 0 {
		b.left = min(l.most, b.left+float64(passed)/float64(l.every))
	}
	b.at = now
	ok := b.left >= 1
	if ok {
		b.left--
	}
	l.keys[key] = b
	return ok
}

// forget drops the keys whose allowance is whole again.
func (l *limiter) forget(now time.Time) {
	for key, b := range l.keys {
		if b.left+float64(now.Sub(b.at))/float64(l.every) >= l.most {
			delete(l.keys, key)
		}
	}
}
