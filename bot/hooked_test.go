package bot_test

import (
	"context"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"rodcall/bot/apitest"
)

// TestWalkOverAWebhook: the platform sends the updates, with repeats and
// failures in between; each counts once.
func TestWalkOverAWebhook(t *testing.T) {
	r := newRig(t, apitest.Config{WebhookRetry: 20 * time.Millisecond})
	ann, c := r.owner("ann")
	r.stop()
	r.polls = false
	r.start()
	hook := httptest.NewTLSServer(r.bot.Webhook("sesame", r.eng))
	defer hook.Close()
	if err := r.bot.SetWebhook(context.Background(), hook.URL, "sesame"); err != nil {
		t.Fatal(err)
	}
	walkTo(r, c, ann, "", "0")
	for i, want := range []string{"c1+4", "c2", "c2+4", "c3"} {
		if got := r.say(c, ann, "1/8 low"); !strings.Contains(got, want+": 1/8 low") {
			t.Errorf("message %d: %q", i, got)
		}
	}
	// While the address is closed the platform keeps what it has.
	hook.Close()
	c.Say(ann, "1/4 low")
	again := httptest.NewTLSServer(r.bot.Webhook("sesame", r.eng))
	defer again.Close()
	if err := r.bot.SetWebhook(context.Background(), again.URL, "sesame"); err != nil {
		t.Fatal(err)
	}
	r.settle()
	if got := r.last(c); !strings.Contains(got, "c3+4: 1/4 low") {
		t.Errorf("after the address was closed: %q", got)
	}
	r.noFaults()
}
