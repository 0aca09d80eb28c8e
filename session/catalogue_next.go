package session

// nextTexts are what is said of what comes next.
var nextTexts = map[Key]text{
	"comes.level":          {"Next: choose the level.", "Sigue: elegir el nivel."},
	"comes.tie":            {"Next: {2} {1:is|are} read and {1:has|have} no height, for nothing ties the rod. Read with it what has one.", "Sigue: {2} {1:está leído y no tiene|están leídos y no tienen} altura, porque nada une la regla. Lee con ella un punto que la tenga."},
	"comes.shims":          {"Next: shims at {1} {1:spot|spots}.", "Sigue: calzas en {1} {1:punto|puntos}."},
	"comes.round":          {"Next: read again where shims were set, {1}: {2}.", "Sigue: leer otra vez donde se calzó, {1}: {2}."},
	"comes.out":            {"Next: bring {2} to the level, then read again.", "Sigue: llevar {2} al nivel y leer otra vez."},
	"out.bare":             {"No shims to take out lie under {1}: grind there, read again, or compare other levels: choices", "No hay calzas que sacar bajo {1}: esmerila ahí, lee otra vez, o compara otros niveles: opciones"},
	"comes.plate":          {"Nothing to shim. Next: lay the plate, tighten it, and read that.", "Nada que calzar. Sigue: poner la solera, apretarla y leerla."},
	"comes.bolts":          {"Next: tighten the bolts, then read again.", "Sigue: apretar los pernos y leer otra vez."},
	"comes.read":           {"Next: read on the plate, {1}: {2}. Out of the beam? Like: no beam c3", "Sigue: leer sobre la solera, {1}: {2}. ¿No llega el rayo? Como: sin rayo c3"},
	"comes.unread":         {"Next: read what was left out, {1}: {2}. Out of the beam? Like: no beam c3", "Sigue: leer lo que falta, {1}: {2}. ¿No llega el rayo? Como: sin rayo c3"},
	"comes.read.button":    {"read {1}", "leer {1}"},
	"comes.sign":           {"Next: sign-off.", "Sigue: la firma."},
	"paper.sum.to-thick":   {"the plate's thickness, to hold what is read on it against the level", "el grueso de la solera, para comparar con el nivel lo leído sobre ella"},
	"paper.sum.to-confirm": {"confirm what was heard at {2}", "confirmar lo oído en {2}"},
	"paper.sum.to-tie":     {"tie the rod that read {2}", "unir la regla que leyó {2}"},
	"paper.sum.to-walk":    {"read {1} left out", "leer {1} que {1:quedó|quedaron} sin leer"},
	"paper.sum.to-plate":   {"read {2} on the plate", "leer {2} sobre la solera"},

	"who.first":        {"But first: did you take the rod over, or do you hold another?", "Pero antes: ¿tomaste la regla, o tienes otra?"},
	"level.moved.high": {"The level to build to is now {1} higher: {2}.", "El nivel a construir queda ahora {1} más alto: {2}."},
	"level.moved.low":  {"The level to build to is now {1} lower: {2}.", "El nivel a construir queda ahora {1} más bajo: {2}."},
	"check.again":      {"{1} reads as before: that counts as a check shot.", "{1} marca lo mismo que antes: cuenta como revisión."},
	"check.again.off":  {"This takes the place of the reading of {1} before, {2} off it. If it was a check shot, send: undo, and then: check {1} {3}", "Esto reemplaza la lectura de {1} de antes, a {2} de ella. Si era una revisión, manda: borra, y luego: revisa {1} {3}"},
	"choice.close":     {"{1} close {1:call|calls}", "{1} {1:dudoso|dudosos}"},
	"comes.lot":        {"The lot was not read again, {1}: {2}.", "Falta repetir del sorteo, {1}: {2}."},
}
