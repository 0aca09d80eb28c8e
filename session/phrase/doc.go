// Package phrase reads short replies, typed or spoken, in English and Spanish:
// what a crew member with a rod sends becomes a reading, a command, a question
// back or a refusal.
//
// It is pure. One table of words (words.go) drives the reading of messages,
// the help, the keyboard and the grammar of a recogniser.
package phrase
