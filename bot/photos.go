package bot

import (
	"fmt"
	"sync"

	"rodcall/session/engine"
)

// maxPhotos is how many drawings are known by the platform's id for them.
const maxPhotos = 512

// photos remembers under which id the platform keeps a drawing that was sent.
type photos struct {
	mu    sync.Mutex
	ids   map[string]string
	order []string // oldest first
}

// pictureKey names a picture as it stands: a job, its newest event, a language,
// which of its pictures it is, and as what it is sent.
func pictureKey(d engine.Delivery) string {
	return fmt.Sprintf("%s.%d.%s.%s.%t", d.Reply.Picture, d.Drawn, d.Reply.Lang, d.Reply.Kind, d.Reply.Original)
}

// Drawn says whether a drawing of that state is at the platform already, so
// that it need not be drawn again.
func (b *Bot) Drawn(d engine.Delivery) bool {
	_, ok := b.photos.get(pictureKey(d))
	return ok
}

func (p *photos) get(key string) (string, bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	id, ok := p.ids[key]
	return id, ok
}

func (p *photos) put(key, id string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.ids == nil {
		p.ids = map[string]string{}
	}
	if _, ok := p.ids[key]; !ok {
		p.order = append(p.order, key)
	}
	p.ids[key] = id
	for len(p.order) > maxPhotos {
		delete(p.ids, p.order[0])
		p.order = p.order[1:]
	}
}

func (p *photos) drop(key string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	delete(p.ids, key)
	for i, k := range p.order {
		if k == key {
			p.order = append(p.order[:i], p.order[i+1:]...)
			break
		}
	}
}
