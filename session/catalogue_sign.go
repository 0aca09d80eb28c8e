package session

// signTexts are what is said when a job is signed off, and when it cannot be.
var signTexts = map[Key]text{
	// What stands in the way: the first thing, and the message that goes on.
	"sign.nothing":       {"Nothing to sign yet: no station has a height. Read {1} first.", "Todavía no hay qué firmar: ningún punto tiene altura. Lee primero {1}."},
	"sign.nodatum":       {"Not signed: no level is chosen yet, so nothing can be within its tolerance. Like: datum high", "Sin firmar: todavía no se eligió el nivel, así que nada puede estar en tolerancia. Como: datum alto"},
	"sign.walk":          {"Not signed: in round {1}, {2} {2:is|are} still to read: {3}. Read on; or send done to end the round.", "Sin firmar: en la vuelta {1} {2:falta|faltan} {2} por leer: {3}. Sigue leyendo; o manda listo para terminar la vuelta."},
	"sign.unread.walk":   {"Not signed: in round {1}, {2} {2:was|were} left out: {3}. Read on. Out of the beam? Like: no beam c3", "Sin firmar: en la vuelta {1} {2:quedó|quedaron} {2} sin leer: {3}. Sigue leyendo. ¿No llega el rayo? Como: sin rayo c3"},
	"sign.walk.free":     {"Not signed: round {1} is not ended. If everything is read, send done.", "Sin firmar: la vuelta {1} no ha terminado. Si ya se leyó todo, manda listo."},
	"sign.touched":       {"Not signed: {1} {1:station was|stations were} shimmed and not read since: {2}. Read {1:it|them} again: next round", "Sin firmar: {1} {1:punto se calzó y no se ha|puntos se calzaron y no se han} leído desde entonces: {2}. Hay que leer otra vez: siguiente vuelta"},
	"sign.outside":       {"Not signed: {1} {1:station is|stations are} outside {2}: {3}.", "Sin firmar: {1} {1:punto está|puntos están} fuera de {2}: {3}."},
	"sign.outside.next":  {"Bring them to the level (the plan: shims), then read again: next round", "Llévalos al nivel (el plan: calzas) y lee otra vez: siguiente vuelta"},
	"sign.move":          {"{1} {2}", "{1} {2}"},
	"sign.surface":       {"Not signed: all is within tolerance, but this round is {1}, and sign-off is on the plate with the bolts tight. Lay the plate, tighten it, and read that: surface plate", "Sin firmar: todo está en tolerancia, pero esta vuelta es {1}, y se firma sobre la solera con los pernos apretados. Pon la solera, apriétala y lee eso: superficie solera"},
	"sign.loose":         {"Not signed: all is within tolerance, but the bolts are loose, and tightening pulls the plate down. Tighten them, then: bolts tight", "Sin firmar: todo está en tolerancia, pero los pernos están flojos, y al apretarlos la solera baja. Apriétalos, y luego: pernos apretados"},
	"sign.nothing.round": {"Not signed: nothing of round {1} is held against the level yet.", "Sin firmar: nada de la vuelta {1} se puede comparar todavía con el nivel."},
	"sign.thick":         {"Not signed: how thick is the plate? Without that, nothing read on it can be held against the level.", "Sin firmar: ¿qué grueso tiene la solera? Sin eso, nada leído sobre ella se puede comparar con el nivel."},
	"sign.untied":        {"Not signed: {2} {1:is|are} read and {1:has|have} no height, for nothing ties the rod. Read {3} with it.", "Sin firmar: {2} {1:está leído y no tiene|están leídos y no tienen} altura, porque nada une la regla. Lee con ella {3}."},
	"sign.owed":          {"Not signed: {1} {1:station that matters is|stations that matter are} not read on the plate: {2}. Read on. Out of the beam? Like: no beam c3", "Sin firmar: {1} {1:punto que importa no está leído|puntos que importan no están leídos} sobre la solera: {2}. Sigue leyendo. ¿No llega el rayo? Como: sin rayo c3"},
	"sign.already":       {"Already signed off by {1}, {2}, and nothing has changed since.", "Ya la firmó {1}, {2}, y nada ha cambiado desde entonces."},

	"sign.button.choices":    {"compare levels", "comparar niveles"},
	"sign.button.done":       {"done", "listo"},
	"sign.button.next round": {"next round", "siguiente vuelta"},
	"sign.button.papers":     {"papers", "papeles"},
	"sign.button.shims":      {"shim plan", "plan de calzas"},

	// What was signed.
	"sign.by":        {"{1}: signed off by {2}, {3}.", "{1}: firmada por {2}, {3}."},
	"sign.what":      {"Round {1}, rod {2}, {3}: {4} {4:station|stations} within {5} of the level ({6}).", "Vuelta {1}, regla {2}, {3}: {4} {4:punto|puntos} a {5} o menos del nivel ({6})."},
	"sign.worst":     {"Farthest off: {1}, {2}.", "El más desviado: {1}, {2}."},
	"sign.unsure":    {"{1} close {1:call|calls}: {2}.", "{1} {1:dudoso|dudosos}: {2}."},
	"sign.unchecked": {"Unchecked, {1}: {2}.", "Sin comprobar, {1}: {2}."},
	"sign.apart":     {"Readings differ by more than they can, {1}: {2}.", "Lecturas que difieren más de lo que pueden, {1}: {2}."},
	"sign.unread":    {"Never read, {1}: {2}.", "Nunca leídos, {1}: {2}."},
	"sign.before":    {"Not read on the plate as it lies now, {1}: {2}.", "Sin leer sobre la solera como está ahora, {1}: {2}."},
	"sign.readers":   {"Read by {1}.", "Leyó {1}."},
	"sign.reader":    {"{1} with {2}", "{1} con {2}"},
	"sign.hangs":     {"The heights of this round hang on {1}: nothing off the sill checks them, and {1} itself is not counted.", "Las alturas de esta vuelta dependen de {1}: nada fuera de la solera las comprueba, y {1} no se cuenta."},
	"sign.lot":       {"Drawn by lot and not read again, {1}: {2}.", "Por sorteo y sin repetir, {1}: {2}."},
	"caution.sign":   {"It says what the rod showed, no more: whether this may be built on is for the drawings, the local code and whoever is licensed to say so. A later reading re-opens it.", "Dice lo que marcó la regla, nada más: si se puede construir encima lo deciden los planos, el código local y quien tenga licencia para decirlo. Una lectura posterior la reabre."},
	"sign.reopened":  {"This re-opens the job signed by {1} on {2}: it is no longer signed off.", "Esto reabre la obra firmada por {1} el {2}: ya no está firmada."},

	// On drawings and in summaries.
	"paper.signed":     {"signed off by {1}, {2}, in round {3}", "firmada por {1}, {2}, en la vuelta {3}"},
	"paper.reopened":   {"re-opened by {3}, {4}, after {1} had signed it off, {2}", "reabierta por {3}, {4}, después de que {1} la firmó, {2}"},
	"paper.sum.signed": {"Sign-off: {1}.", "Firma: {1}."},
	"somebody":         {"somebody", "alguien"},
}
