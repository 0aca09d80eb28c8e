// Package term is the terminal adapter of the engine: a chat that is typed,
// and a chat that is played from a file. It is also the harness of tests,
// since all it does goes through the real store and the real engine.
//
// [Play] plays steps, one a line, with a clock of its own, so that the same
// steps give the same output and the same log. [Chat] talks with a person.
// [ParseScript] reads a played chat kept with what it must print.
package term
