package bot

import (
	"context"
	"net/http"
	"strconv"
	"strings"
	"time"

	"rodcall/session"
)

// rightsTimeout is how long a person waits for the platform to be asked.
const rightsTimeout = 8 * time.Second

// Rights asks the platform whether a person is an administrator of a group.
func (b *Bot) Rights(ctx context.Context, key, person string) session.Rights {
	ctx, cancel := context.WithTimeout(ctx, rightsTimeout)
	defer cancel()
	chat, _, err := b.look().address(key)
	if err != nil {
		return session.RightsUnknown
	}
	id, err := strconv.ParseInt(strings.TrimPrefix(person, chatPrefix), 10, 64)
	if err != nil {
		return session.RightsUnknown
	}
	// Asked by ourselves: the library's model refuses kinds of member that it
	// does not know.
	var m member
	client := &http.Client{Timeout: rightsTimeout}
	if err := b.ask(ctx, client, "getChatMember", map[string]any{"chat_id": chat, "user_id": id}, &m); err != nil {
		b.log.Warn("cannot ask who is an administrator", "err", b.redacted(err))
		return session.RightsUnknown
	}
	if m.admin() {
		return session.RightsAdmin
	}
	return session.RightsNone
}
