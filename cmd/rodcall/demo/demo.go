// Package demo holds a made-up job, as the messages of its chat. It is played
// to show what rodcall does, and its drawing is the picture of the README.
package demo

import _ "embed"

// Messages is the chat of the demo job in the form that the terminal's play
// takes: one step a line.
//
//go:embed messages.txt
var Messages string
