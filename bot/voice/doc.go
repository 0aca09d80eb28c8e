// Package voice makes words of a voice note, and a voice note of words, on the
// bot's own machine.
//
// A note is decoded ([Decode]), freed of steady noise ([Denoise]) and judged for
// how loud the speech stands over what is left ([SNR]); a program of its own
// recognises it, and another speaks. Those programs are the machine's, found
// when they are needed: where one is missing the error is [ErrNoEngine], and
// all else works. Nothing here is shared between calls, so notes may be worked
// on side by side.
package voice
