// Package session is the conversation of a job: who may say what, what is
// asked next, what is answered.
//
// It is pure: no clock, no store, no network. [Hear] takes one message and
// the state it meets and returns an [Outcome]: the events to append to the
// job's log, the new conversation, and the replies. It changes nothing it was
// given. The caller's duties:
//
//  1. Give each chat's messages to Hear one at a time, in order, and each
//     message once.
//  2. Save the Outcome whole, events first, before any reply is sent.
//  3. Only then apply the events to the job in memory with [Job.Apply].
//  4. Drop the job in memory, and fold its log again, if saving failed.
//
// The log is the truth: a job is the fold of its events, and an undo, a
// correction or an edit is a new event.
package session
