// Package apitest is a stand-in for the server of the Telegram Bot API, for
// tests. It is used as net/http/httptest is: [New] starts a server on a port of
// its own, [Server.URL] is the address to give to the bot, and people act on
// it through [Server.Private], [Server.Group] and the methods of [Chat]. It
// needs no network and no account.
//
//	srv := apitest.New(apitest.Config{})
//	defer srv.Close()
//	ana := srv.User("Ana")
//	chat := srv.Private(ana)
//	chat.Say(ana, "/start")
//	// … the bot polls srv.URL() and answers …
//	for _, m := range chat.Messages() { … }
//	if f := srv.Faults(); len(f) > 0 { … }
//
// It keeps its state while the bot dies and comes back, so a bot may run as
// another process and be killed; [Server.Control] lets that happen the other
// way round too, with the stand-in in a process of its own and driven over
// HTTP.
//
// Of what people send, [Chat.Attach] may say what is not true: how large a file
// is, how long, of which kind.
//
// # What it holds a bot to
//
// The rules of https://core.telegram.org/bots/api: how getUpdates confirms,
// what a group's privacy mode hides, how long texts and captions may be, what
// a file must be. The limits are one table, [Limits]. It is stricter than the
// platform in one thing: a field or a method that it does not know is refused
// (the platform ignores unknown fields). Every refusal that is the bot's own
// doing is also kept in [Server.Faults].
//
// # Trouble on demand
//
// [Server.Inject] makes chosen requests, and downloads of files, slow, failed,
// refused for their rate, or cut before or after they took effect; [Server.Schedule] does so by chance
// from a seed, and repeats and shuffles updates. [Server.SetRates] turns on
// the platform's rates.
//
// # What it leaves out
//
// Inline mode, payments, channels, albums, business accounts, stories and
// stickers; parse modes other than HTML; files by URL. Photos are kept as they
// were sent (the platform compresses them again). A request for any of these
// is refused and says so, so that no test passes for want of it. Polling again
// at once with a timeout under three seconds is not slowed down, and 409s are
// not delayed, as the platform does to spare itself. A port that refuses
// connections is shown as one that cuts them.
package apitest
