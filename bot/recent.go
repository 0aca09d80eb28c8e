package bot

import (
	"slices"
	"sync"
)

// recent remembers the newest few values, by their keys; the oldest are
// forgotten.
type recent[K comparable, V any] struct {
	most  int // at most so many
	mu    sync.Mutex
	kept  map[K]V
	order []K // oldest first
}

func (r *recent[K, V]) get(key K) (V, bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	v, ok := r.kept[key]
	return v, ok
}

func (r *recent[K, V]) put(key K, v V) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.kept == nil {
		r.kept = map[K]V{}
	}
	if _, ok := r.kept[key]; !ok {
		r.order = append(r.order, key)
	}
	r.kept[key] = v
	for len(r.order) > r.most {
		delete(r.kept, r.order[0])
		r.order = r.order[1:]
	}
}

func (r *recent[K, V]) drop(key K) {
	r.mu.Lock()
	defer r.mu.Unlock()
	delete(r.kept, key)
	if i := slices.Index(r.order, key); i >= 0 {
		r.order = slices.Delete(r.order, i, i+1)
	}
}
