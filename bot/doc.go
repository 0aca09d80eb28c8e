// Package bot is the adapter to Telegram: updates in, messages out, keyboards,
// files. It knows no arithmetic.
//
// Sends go through github.com/go-telegram/bot. Updates do not: its own polling
// confirms an update before it is safe, so [Bot.Poll] asks for updates itself,
// has them stored raw together with the next offset, and only then asks for
// more, which confirms them. [Bot.Webhook] answers 200 only after that, too.
//
// Voice notes and photos are fetched when the engine asks for them, bounded in
// size and time whatever is said of them; what hears and what speaks are given
// by the configuration.
//
// A chat's key is "tg:ID", with "/TOPIC" where it has topics. A group that
// becomes a supergroup gets another id from the platform and keeps its key.
package bot
