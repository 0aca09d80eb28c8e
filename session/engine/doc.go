// Package engine takes messages from an adapter to [session.Hear] and its
// replies back, each message counting exactly once whatever dies in between.
//
//	adapter → Receive → inbox → Hear, a goroutine a chat → writer
//	adapter ← Send    ← outbox, a goroutine a chat       ←
//
// The way of a message:
//
//  1. [Engine.Receive] stores raw updates, and the adapter's cursor with them,
//     in one transaction. Once it has returned, the adapter may confirm them.
//  2. Each chat's messages are heard in the order they were stored, one at a
//     time; a chat's next message waits for the commit of the one before. Chats
//     do not wait for one another.
//  3. One writer takes all that waits to be written, of all chats, into one
//     durable transaction. It never sleeps to gather more: while it waits for
//     the disk, the next group gathers by itself.
//  4. Replies are sent in order within a chat, at least once. The transaction
//     that takes a reply out of the outbox stores what the sent message asked
//     for.
//
// What a voice note says and what a photo shows is not in the update. Where
// Hear asks for it the adapter fetches it, and Hear is called again. Only the
// message's own chat waits meanwhile; a note in hand when the engine closes, or
// dies, is still in the inbox, and is fetched and heard again.
//
// A message that makes Hear panic, or an update that the adapter cannot
// decode, is put among the dead letters with an alert, and the next one is
// heard. A transaction that fails is tried again until it succeeds or the
// engine is closed: the message stays in the inbox meanwhile.
//
// In memory the engine keeps the numbers of what waits in inbox and outbox, a
// bounded number of decoded messages and of folded jobs, and a goroutine for
// each chat that has something waiting.
package engine
