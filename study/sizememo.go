package study

import "sync"

// memo keeps answers, each found once: whoever asks for one that is being found
// waits for it. An answer must not ask for itself.
type memo[K comparable, V any] struct {
	mutex sync.Mutex
	found map[K]*answer[V]
}

type answer[V any] struct {
	once  sync.Once
	value *V
}

// of returns the answer to key, which find finds.
func (m *memo[K, V]) of(key K, find func() *V) *V {
	m.mutex.Lock()
	k, ok := m.found[key]
	if !ok {
		if m.found == nil {
			m.found = map[K]*answer[V]{}
		}
		k = &answer[V]{}
		m.found[key] = k
	}
	m.mutex.Unlock()
	k.once.Do(func() { k.value = find() })
	return k.value
}
