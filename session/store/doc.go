// Package store keeps everything rodcall must not lose in one bbolt file.
//
// Numbers in keys are eight bytes, big-endian, so that keys sort as the
// numbers do; ⌀ is a zero byte, which no chat key and no job id holds.
//
//	meta/                     the file itself
//	  format               →  format of this file, decimal
//	  min_reader           →  oldest format a program must know to open it, decimal
//	  cursor               →  the adapter's own bytes: what it has stored so far
//	inbox/                    updates not yet heard, oldest first
//	  seq                  →  update id, raw update
//	seen/                     updates that were stored, by their exact id
//	  update id            →  seq, unix seconds
//	log/                      the truth: a job is the fold of its events
//	  job ⌀ seq            →  event, as session.Encode writes it
//	header/                   a job in one line, and the head of its log
//	  job                  →  JSON: Header
//	chat/                     what a chat holds for all who are in it
//	  chat                 →  JSON: session.Chat
//	talk/                     one person's place in one chat
//	  chat ⌀ person        →  JSON: session.Conversation
//	outbox/                   replies to send, oldest first
//	  seq                  →  JSON: Row
//	live/                     the unsent reply of a name
//	  chat ⌀ name          →  outbox seq
//	parked/                   replies that can never be sent
//	  outbox seq           →  JSON: Parked
//	sent/                     what a sent message asked for
//	  shelf chat ⌀ message id  →  JSON: session.Place; shelf is outbox seq / 512
//	heard/                    the job that a person's message was heard for
//	  shelf chat ⌀ message id  →  job; shelf is inbox seq / 512
//	people/                   names and platform ids; forgotten here, a person
//	  person               →  stays a number in the logs. JSON: Person, of one who
//	                          is forgotten with both empty
//	platform/
//	  platform id          →  person
//	dead/                     updates that could not be heard
//	  inbox seq            →  JSON: Dead
//	access/                   who may talk to the bot, where not everybody may
//	  owner                →  platform id of the person who owns it
//	  claim                →  the code that makes its sender the owner
//	  let ⌀ platform id    →  JSON: when and by whom a person was let in
//	  open ⌀ chat          →  JSON: when and by whom a group was opened
//	  invite ⌀ code        →  JSON: when and by whom an unused invitation was made
//	  shut ⌀ platform id   →  JSON: Shut, of somebody who floods, until they pause
//	photos/                   photos that events of the logs name
//	  hash                 →  JPEG of at most 2 MB; hash is the SHA-256 of it. Or
//	                          "lost": it could not be rescued from a damaged file
//
// A file of an older format is brought to this one when it is opened to be
// written (migrate.go), and kept as it was beside itself. Format 2 has photos/,
// and events of kinds that programs for format 1 do not know.
//
// # Once
//
// An update is stored once: [Tx.Receive] knows the ids of updates by heart
// and passes over those it has. An id is forgotten after [SeenFor], twice as
// long as a platform that repeats updates for 24 hours keeps them, but never
// while it is one of the newest [SeenAtLeast], and always once it is not one
// of the newest [SeenAtMost]. A message takes effect once: [Tx.Commit] takes
// the inbox row out in the transaction that appends the events, and refuses a
// row that is gone.
//
// # Forgetting
//
// [Forget] takes a person out of all parts but log and photos, with the whole of
// the chat with them: its key is the person's id. The jobs opened there stay, of
// no chat.
//
// # Bounds
//
// The rows of sent and heard are kept for the newest [Recent] messages of the
// file, and up to a shelf more. Parked rows are kept for the newest
// [ParkedAtMost]. Nothing else is ever dropped.
package store
