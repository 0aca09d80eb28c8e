package session

// papersTexts are the words on the pages of a PDF. %d are two numbers.
var papersTexts = map[Key]text{
	"papers.made": {"made {1}", "hecho {1}"},
	"papers.page": {"page %d of %d", "página %d de %d"},

	"papers.summary":  {"Summary", "Resumen"},
	"papers.readers":  {"Who read what", "Quién leyó qué"},
	"papers.mind":     {"Cautions", "Precauciones"},
	"papers.stations": {"Stations", "Puntos"},
	"papers.notes":    {"Level notes", "Libreta"},
	"papers.rounds":   {"Rounds", "Vueltas"},
	"papers.sign":     {"Sign-off", "Firma"},

	"papers.reader": {
		"{1}: {2}, set-up {3}, {4} {4:reading|readings}, {5}",
		"{1}: {2}, posición {3}, {4} {4:lectura|lecturas}, {5}",
	},
	"papers.reader.more": {"{1} more in the export.", "{1} más en la exportación."},
	"papers.from-to":     {"{1} to {2}", "{1} a {2}"},

	// Heads of the columns: {1} the reference.
	"papers.col.station":   {"station", "punto"},
	"papers.col.of":        {"of {1}", "desde {1}"},
	"papers.col.of-plate":  {"plate, of {1}", "solera, desde {1}"},
	"papers.col.round":     {"round {1}", "vuelta {1}"},
	"papers.col.design":    {"meant to be", "debe estar"},
	"papers.col.deviation": {"off datum", "del nivel"},
	"papers.col.band":      {"good to", "margen"},
	"papers.col.move":      {"to do", "por hacer"},
	"papers.col.set":       {"set since", "calzado después"},
	"papers.col.checked":   {"checked", "comprobado"},
	"papers.checked":       {"yes", "sí"},
	"papers.apart":         {"differs", "difiere"},
	"papers.dark":          {"no beam", "sin rayo"},
	"papers.close":         {"{1}, close call", "{1}, dudoso"},

	// The summary: what was done, and what is left.
	"paper.sum.done":     {"Shimmed so far: {1} {1:spot|spots}.", "Calzado hasta ahora: {1} {1:punto|puntos}."},
	"paper.sum.remains":  {"Still to do: {1}.", "Falta: {1}."},
	"paper.sum.to-shim":  {"shim {1} {1:spot|spots}", "calzar {1} {1:punto|puntos}"},
	"paper.sum.to-out":   {"take shims out at {1} {1:spot|spots}", "sacar calzas en {1} {1:punto|puntos}"},
	"paper.sum.to-grind": {"grind {1} {1:spot|spots}", "esmerilar {1} {1:punto|puntos}"},
	"paper.sum.to-ask":   {"ask the engineer about {1} {1:gap|gaps}", "preguntar al ingeniero por {1} {1:hueco|huecos}"},
	"paper.sum.to-read":  {"read {1} {1:station|stations} again", "leer otra vez {1} {1:punto|puntos}"},
	"paper.sum.to-sign":  {"sign-off, on the plate with the bolts tight", "la firma, sobre la solera con los pernos apretados"},

	// The list of shims.
	"papers.shims":      {"Shims", "Calzas"},
	"papers.shims.ours": {"Planned with sizes {1} (ours), up to {2} in a stack.", "Planeado con gruesos {1} (nuestros), hasta {2} en una pila."},
	"papers.col.spot":   {"spot", "punto"},
	"papers.col.raise":  {"by", "cuánto"},
	"papers.col.shims":  {"shims", "calzas"},
	"papers.col.hand":   {"on hand", "existencias"},
	"papers.col.laid":   {"laid", "puesto"},
	"papers.col.pieces": {"pieces", "piezas"},
	"papers.out":        {"take out", "sacar"},
	"papers.taken-out":  {"{1} out", "{1} menos"},
	"papers.laid":       {"Shims lie at {1} {1:spot|spots}, those of all rounds together:", "Hay calzas en {1} {1:punto|puntos}, las de todas las vueltas juntas:"},
	"papers.engineer":   {"ask the engineer", "pregunta al ingeniero"},
	"papers.grind":      {"grind", "esmerilar"},
	"papers.short":      {"not on hand", "no hay"},
	"papers.shims.left": {"%d of %d spots, those with most: the whole list is in the JSON export.", "%d de %d puntos, los de más: la lista completa está en la exportación JSON."},

	"papers.units":         {"amounts in {1}", "medidas en {1}"},
	"papers.stations.left": {"%d of %d stations, those farthest off: the whole table is in the CSV.", "%d de %d puntos, los más desviados: la tabla completa está en el CSV."},
	"papers.notes.signs":   {"A minus before an elevation: below. Before a reading: under the rod's zero. A correction is added as it stands.", "Un menos ante una altura: abajo. Ante una lectura: bajo el cero de la regla. Una corrección se suma tal como está."},
	"papers.notes.left":    {"%d of %d lines: all are in the exported notes.", "%d de %d líneas: todas están en la libreta exportada."},
	"papers.round":         {"Round {1}: rod {2}; {3} {3:station|stations} read.", "Vuelta {1}: regla {2}; {3} {3:punto leído|puntos leídos}."},
	"papers.standing":      {"rod {1}", "regla {1}"},

	"papers.not-signed":     {"Not signed off.", "Sin firmar."},
	"papers.still.unsure":   {"Close calls: {1}.", "Dudosos: {1}."},
	"papers.still.checking": {"Unchecked: {1}.", "Sin comprobar: {1}."},

	"papers.head": {
		"Made from events 1 to {1} of job {2}. The hash of event {1}, which no change to them leaves as it is: {3}",
		"Hecho con los eventos 1 a {1} de la obra {2}. El código del evento {1}, que ningún cambio en ellos deja igual: {3}",
	},

	"papers.govern": {
		"These are heights as the rod showed them. What may be built on them is for the drawings, the local code and whoever is licensed to say so.",
		"Son alturas como las marcó la regla. Qué se puede construir encima lo deciden los planos, el código local y quien tenga licencia para decirlo.",
	},

	// The foundation as it was found.
	"found.nothing":  {"Nothing was read on concrete yet. Read {1} first.", "Todavía no se ha leído nada sobre concreto. Lee primero {1}."},
	"found.surface":  {"The first round was read {1}, so nothing tells how the concrete was found. The picture shows it as it stands: picture", "La primera vuelta se leyó {1}, así que nada dice cómo se encontró el concreto. El dibujo muestra cómo está: dibujo"},
	"papers.nothing": {"Nothing to put on paper yet. Read {1} first.", "Todavía no hay nada que poner en papel. Lee primero {1}."},
	"found.title":    {"As found: {1}", "Como se encontró: {1}"},
	"found.when":     {"As found on concrete, {1}, before any shim there. Heights are of {2}.", "Como se encontró, sobre concreto, {1}, sin calzas ahí todavía. Las alturas son desde {2}."},
	"found.no-more":  {"It tells what the rod showed that day, no more: not why a spot is high or low, and nothing of what was not read.", "Dice lo que marcó la regla ese día, nada más: no por qué un punto está alto o bajo, ni nada de lo que no se leyó."},
}
