package session_test

import "testing"

// TestSquare says what is missing, and what a tape should show.
func TestSquare(t *testing.T) {
	tb := newTable(t)
	tb.mustSay("ann", "square", "Open one: new East house")
	tb.say("ann", "new East house")
	tb.mustSay("ann", "is it square?", "Send its outline, like 40x28")
	tb.say("ann", "30x40")
	tb.mustSay("ann", "diagonals", "not worked out; they are taken as they were told.\nBy the outline a tape should show: c1 to c3 50' 0\", c2 to c4 50' 0\".")
	tb.say("ann", "español")
	tb.mustSay("ann", "¿Está a escuadra?", "no se calcula si los muros están a escuadra; se toman como se dijeron.\nSegún el contorno la cinta debe marcar: c1 a c3 50' 0\"")
	tb.say("ann", "muros 20 izq 10 izq 10 der 10 izq 10 izq 20")
	tb.mustSay("ann", "escuadra", "Ningún anillo tiene cuatro esquinas")
}
