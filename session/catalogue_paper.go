package session

// paperTexts are the words on drawings, summaries and pages.
var paperTexts = map[Key]text{
	// On a mark: the word stands above its amount.
	"paper.high":     {"high", "alto"},
	"paper.low":      {"low", "bajo"},
	"paper.level":    {"level", "a nivel"},
	"paper.on":       {"on", "en su nivel"},
	"paper.raise":    {"raise", "subir"},
	"paper.lower":    {"lower", "bajar"},
	"paper.stays":    {"stays high", "queda alto"},
	"paper.unread":   {"unread", "sin leer"},
	"paper.not-tied": {"not tied", "sin unir"},
	"paper.under":    {"under {1}", "menos de {1}"},

	// Heights in a sentence: {1} an amount, {2} a station.
	"paper.level-with": {"level with {1}", "a nivel con {1}"},
	"paper.above":      {"{1} above {2}", "{1} arriba de {2}"},
	"paper.below":      {"{1} below {2}", "{1} abajo de {2}"},
	"figure.in":        {"{1} in", "{1} pulg"},
	"figure.ft":        {"{1} ft", "{1} {1:pie|pies}"},
	"figure.mm":        {"{1} mm", "{1} mm"},
	"figure.m":         {"{1} m", "{1} m"},
	// What a report was made from: {1} the number of an event, {2} its hash, {3} the job's id.
	"paper.head": {"job {3} · event {1} · {2}", "obra {3} · evento {1} · {2}"},

	"paper.list": {"{1} and {2} more", "{1} y {2} más"},

	// The drawing's head: one fact a line.
	"paper.count": {
		"{1} of {2} {2:station|stations} read · {3} {3:reading|readings} · made {4}",
		"{1} de {2} {2:punto leído|puntos leídos} · {3} {3:lectura|lecturas} · hecho {4}",
	},
	"paper.count-round": {
		"{1} of {2} {2:station|stations} asked for in round {5} read · {3} {3:reading|readings} · made {4}",
		"{1} de {2} {2:punto pedido leído|puntos pedidos leídos} en la vuelta {5} · {3} {3:lectura|lecturas} · hecho {4}",
	},
	"paper.count-free": {
		"{1} {1:station|stations} read · {3} {3:reading|readings} · made {4}",
		"{1} {1:punto leído|puntos leídos} · {3} {3:lectura|lecturas} · hecho {4}",
	},
	"paper.reference":    {"reference {1} · amounts in {2}", "referencia {1} · medidas en {2}"},
	"paper.reference-of": {"high and low are of {1}, the reference · amounts in {2}", "alto y bajo son desde {1}, la referencia · medidas en {2}"},
	"paper.no-reference": {"{1}, the reference, is not read: no heights yet", "falta leer {1}, la referencia: todavía no hay alturas"},
	"paper.unit.in":      {"inches", "pulgadas"},
	"paper.unit.ft":      {"decimal feet", "pies decimales"},
	"paper.unit.mm":      {"millimetres", "milímetros"},

	"paper.rod.none":     {"no rod yet", "todavía sin regla"},
	"paper.rod.direct":   {"direct rod", "regla directa"},
	"paper.rod.standard": {"standard rod", "regla estándar"},
	"paper.rod.flipped":  {"{1} that counts the other way", "{1} que cuenta al revés"},

	"paper.datum":          {"datum: {1}", "nivel: {1}"},
	"paper.tolerance":      {"tolerance {1} either way", "tolerancia {1} arriba o abajo"},
	"paper.tolerance-ours": {"tolerance {1} either way (ours: nobody set one)", "tolerancia {1} arriba o abajo (nuestra: nadie la fijó)"},

	"paper.surface":          {"rod {1}, {2}", "regla {1}, {2}"},
	"paper.surface.concrete": {"on concrete", "sobre concreto"},
	"paper.surface.shims":    {"on shims", "sobre calzas"},
	"paper.surface.plate":    {"on the plate", "sobre la solera"},
	"paper.bolts.loose":      {"bolts loose", "pernos flojos"},
	"paper.bolts.tight":      {"bolts tight", "pernos apretados"},

	"paper.untied":      {"read but not tied to {1}: {2}", "leídos pero sin unir a {1}: {2}"},
	"paper.no-beam":     {"no beam there: {1}", "sin rayo: {1}"},
	"paper.off-outline": {"read, but not on this outline: {1}", "leídos, pero fuera de este contorno: {1}"},
	"paper.free":        {"no outline yet: stations in rows as walked, not to scale", "todavía sin contorno: puntos en filas como se recorrieron, sin escala"},

	// The datum in words: {1} a station.
	"paper.datum.first":   {"first station, {1}", "primer punto, {1}"},
	"paper.datum.high":    {"high spot, {1}", "punto alto, {1}"},
	"paper.datum.station": {"{1}", "{1}"},
	"paper.datum.at":      {"{1}, {2}", "{1}, {2}"},
	"paper.datum.unread":  {"{1}, no height yet", "{1}, todavía sin altura"},
	"paper.datum.no-high": {"high spot, no heights yet", "punto alto, todavía sin alturas"},

	// The strip under the plan: %s is the exaggeration, a number.
	"paper.strip.title": {"walls unrolled · heights exaggerated %s times", "muros desplegados · alturas exageradas %s veces"},
	"paper.strip.free":  {"stations as walked · heights exaggerated %s times", "puntos como se recorrieron · alturas exageradas %s veces"},
	"paper.house":       {"house", "casa"},
	"paper.loop":        {"loop {1}", "anillo {1}"},
	"paper.strip.datum": {"datum", "nivel"},

	// Under a plan that has no room for all: %d are two numbers.
	"paper.more": {"labels shown for %d of %d: corners and the spots farthest off", "etiquetas de %d de %d: esquinas y los puntos más desviados"},

	// What the marks mean.
	"paper.key.high":         {"high: above {1}", "alto: arriba de {1}"},
	"paper.key.low":          {"low: below {1}", "bajo: abajo de {1}"},
	"paper.key.level":        {"level with {1}", "a nivel con {1}"},
	"paper.key.stays":        {"high, and more than may be ground: it stays", "alto, y más de lo que se puede esmerilar: así queda"},
	"paper.key.raise":        {"raise to the datum", "subir al nivel"},
	"paper.key.lower":        {"lower to the datum", "bajar al nivel"},
	"paper.key.on":           {"on: within {1} of the datum", "en su nivel: a {1} o menos de él"},
	"paper.key.unsure":       {"close call", "dudoso"},
	"paper.key.unread":       {"unread", "sin leer"},
	"paper.key.unread-round": {"not read in round {1}", "sin leer en la vuelta {1}"},
	"paper.key.not-tied":     {"not tied", "sin unir"},
	"paper.key.unread-two":   {"unread or not tied", "sin leer o sin unir"},

	// The summary.
	"paper.sum.job": {
		"{1}: {2} of {3} {3:station|stations} read, {4} {4:reading|readings}.",
		"{1}: {2} de {3} {3:punto leído|puntos leídos}, {4} {4:lectura|lecturas}.",
	},
	"paper.sum.apart": {"Readings differ by more than they can, at {1}: read again.", "Las lecturas difieren más de lo que pueden, en {1}: lee otra vez."},
	"paper.sum.off":   {"Also read, off the marks: {1}.", "También leídos, fuera de las marcas: {1}."},
	"paper.sum.lost":  {"Read, but not on this outline: {1}.", "Leídos, pero fuera de este contorno: {1}."},
	"paper.sum.job-free": {
		"{1}: {2} {2:station|stations} read, {4} {4:reading|readings}. No outline yet.",
		"{1}: {2} {2:punto leído|puntos leídos}, {4} {4:lectura|lecturas}. Todavía sin contorno.",
	},
	"paper.sum.nothing":   {"Nothing read yet.", "Todavía no hay lecturas."},
	"paper.sum.reference": {"The reference {1} is not read: no heights yet.", "Falta leer la referencia {1}: todavía no hay alturas."},
	"paper.sum.extent": {
		"High spot {1}: {2}. Low spot {3}: {4}. Range {5}.",
		"Punto alto {1}: {2}. Punto bajo {3}: {4}. Diferencia {5}.",
	},
	"paper.sum.the-reference": {"the reference", "la referencia"},
	"paper.sum.pair": {
		"Most within {1}: {2} between {3} and {4}, {5} apart.",
		"Mayor diferencia en {1}: {2} entre {3} y {4}, a {5} uno de otro.",
	},
	"paper.sum.published": {
		"(A published standard for concrete: 1/2 in within 20 ft: {1}. Local code and drawings govern.)",
		"(Una norma publicada para concreto: 1/2 pulg en 20 pies: {1}. Mandan el código local y los planos.)",
	},
	"paper.sum.datum":          {"Datum: {1}. {2}.", "Nivel: {1}. {2}."},
	"paper.sum.tolerance":      {"Tolerance {1} either way", "Tolerancia {1} arriba o abajo"},
	"paper.sum.tolerance-ours": {"Tolerance {1} either way (ours: nobody set one)", "Tolerancia {1} arriba o abajo (nuestra: nadie la fijó)"},
	"paper.sum.on":             {"On {1}", "En su nivel {1}"},
	"paper.sum.raise":          {"raise {1}, most {2} at {3}", "subir {1}, el mayor {2} en {3}"},
	"paper.sum.lower":          {"lower {1}, most {2} at {3}", "bajar {1}, el mayor {2} en {3}"},
	"paper.sum.unsure":         {"close calls {1}", "dudosos {1}"},
	"paper.sum.unread":         {"Unread: {1}.", "Sin leer: {1}."},
	"paper.sum.untied":         {"Read but not tied to {2}: {1}.", "Leídos pero sin unir a {2}: {1}."},
}
