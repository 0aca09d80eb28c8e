package session

// paperTexts are the words on drawings, summaries and pages.
var paperTexts = map[Key]text{
	// Heights and moves. The words above an amount stand alone on a drawing.
	"paper.high":   {"high", "alto"},
	"paper.low":    {"low", "bajo"},
	"paper.on":     {"on", "a nivel"},
	"paper.raise":  {"raise", "subir"},
	"paper.lower":  {"lower", "bajar"},
	"paper.unread": {"unread", "sin leer"},
	"paper.untied": {"not tied", "sin ligar"},
	"paper.nobeam": {"no beam", "sin láser"},
	"paper.under":  {"under {1}", "menos de {1}"},
	"paper.heavy":  {"{1} heavy", "{1} fuerte"},
	"paper.shy":    {"{1} shy", "{1} escaso"},

	// {1} amount, {2} a station.
	"paper.high-of":  {"{1} high (of {2})", "{1} más alto que {2}"},
	"paper.low-of":   {"{1} low (of {2})", "{1} más bajo que {2}"},
	"paper.level-of": {"level with {1}", "a nivel con {1}"},
	"paper.above":    {"{1} above {2}", "{1} arriba de {2}"},
	"paper.below":    {"{1} below {2}", "{1} abajo de {2}"},

	// Measures.
	"paper.in":   {"{1} in", "{1} pulg"},
	"paper.ft":   {"{1} ft", "{1} {1:pie|pies}"},
	"paper.mm":   {"{1} mm", "{1} mm"},
	"paper.m":    {"{1} m", "{1} m"},
	"paper.list": {"{1} and {2} more", "{1} y {2} más"},

	// What a job is about.
	"paper.surface.concrete": {"on concrete", "sobre concreto"},
	"paper.surface.shims":    {"on shims", "sobre calzas"},
	"paper.surface.plate":    {"on the plate", "sobre la solera"},
	"paper.bolts.loose":      {"bolts loose", "anclas flojas"},
	"paper.bolts.tight":      {"bolts tight", "anclas apretadas"},
	"paper.rod.none":         {"no rod yet", "aún sin regla"},
	"paper.rod.direct":       {"direct rod", "regla directa"},
	"paper.rod.standard":     {"standard rod", "regla normal"},
	"paper.rod.flipped":      {"{1}, counts the other way", "{1}, cuenta al revés"},

	// The drawing's head.
	"paper.count": {
		"{1} of {2} {2:station|stations} read · {3} {3:reading|readings} · made {4}",
		"{1} de {2} {2:punto leído|puntos leídos} · {3} {3:lectura|lecturas} · hecho {4}",
	},
	"paper.count-free": {
		"{1} {1:station|stations} read · {3} {3:reading|readings} · made {4}",
		"{1} {1:punto leído|puntos leídos} · {3} {3:lectura|lecturas} · hecho {4}",
	},
	"paper.about": {
		"reference {1} · in {2} to {3} · {4}, {5}",
		"referencia {1} · en {2}, al {3} · {4}, {5}",
	},
	"paper.unit.in": {"inches", "pulgadas"},
	"paper.unit.ft": {"feet", "pies"},
	"paper.unit.mm": {"millimetres", "milímetros"},
	"paper.no-datum": {
		"no datum chosen: high and low are of {1}",
		"nivel de obra sin elegir: alto y bajo son respecto a {1}",
	},
	"paper.datum":     {"datum: {1} · {2}", "nivel de obra: {1} · {2}"},
	"paper.tolerance": {"tolerance {1}", "tolerancia {1}"},
	"paper.tolerance-ours": {
		"tolerance {1} (ours: nobody set one)",
		"tolerancia {1} (nuestra: nadie la fijó)",
	},
	"paper.no-reference": {
		"{1}, the reference, is not read: no heights yet",
		"falta leer la referencia {1}: aún no hay alturas",
	},
	"paper.untied-list": {
		"read but not tied to {1}: {2}",
		"leídos pero sin ligar a {1}: {2}",
	},
	"paper.off-outline": {
		"not on this outline: {1}",
		"fuera de este contorno: {1}",
	},
	"paper.off-sill": {"{1}: {2}", "{1}: {2}"},
	"paper.free": {
		"no outline yet: stations in rows as walked, not to scale",
		"aún sin contorno: puntos en filas según el recorrido, sin escala",
	},

	// The datum in words: {1} a station.
	"paper.datum.first":   {"first station {1}", "primer punto, {1}"},
	"paper.datum.high":    {"high spot {1}", "punto más alto, {1}"},
	"paper.datum.station": {"{1}", "{1}"},
	"paper.datum.at":      {"{1}, {2}", "{1}, {2}"},
	"paper.datum.unread":  {"{1}, not read yet", "{1}, aún sin leer"},
	"paper.datum.no-high": {"high spot, nothing read yet", "punto más alto, aún sin lecturas"},

	// The strip under the plan: %s is the exaggeration.
	"paper.strip.title": {"Walls unrolled · heights drawn %s", "Muros desplegados · alturas dibujadas %s"},
	"paper.strip.datum": {"datum", "nivel de obra"},

	// What the marks mean.
	"paper.key.high":     {"high: above {1}", "alto: arriba de {1}"},
	"paper.key.low":      {"low: below {1}", "bajo: abajo de {1}"},
	"paper.key.level":    {"on: level with {1}", "a nivel con {1}"},
	"paper.key.raise":    {"raise", "subir"},
	"paper.key.lower":    {"lower", "bajar"},
	"paper.key.on":       {"on: within {1} of the datum", "a nivel: a {1} o menos del nivel de obra"},
	"paper.key.unsure":   {"close call", "dudoso"},
	"paper.key.unread":   {"unread", "sin leer"},
	"paper.key.unread-2": {"unread or not tied", "sin leer o sin ligar"},

	// The summary.
	"paper.sum.job": {
		"{1}: {2} of {3} {3:station|stations} read, {4} {4:reading|readings}.",
		"{1}: {2} de {3} {3:punto leído|puntos leídos}, {4} {4:lectura|lecturas}.",
	},
	"paper.sum.job-free": {
		"{1}: {2} {2:station|stations} read, {4} {4:reading|readings}. No outline yet.",
		"{1}: {2} {2:punto leído|puntos leídos}, {4} {4:lectura|lecturas}. Aún sin contorno.",
	},
	"paper.sum.nothing":   {"Nothing read yet.", "Aún no hay lecturas."},
	"paper.sum.reference": {"The reference {1} is not read: no heights yet.", "Falta leer la referencia {1}: aún no hay alturas."},
	"paper.sum.extent": {
		"High spot {1}: {2}. Low spot {3}: {4}. Range {5}.",
		"Punto más alto {1}: {2}. Más bajo {3}: {4}. Diferencia {5}.",
	},
	"paper.sum.the-reference": {"the reference", "la referencia"},
	"paper.sum.pair": {
		"Most within {1}: {2} between {3} and {4}, {5} apart.",
		"Lo más en {1}: {2} entre {3} y {4}, a {5} uno de otro.",
	},
	"paper.sum.published": {
		"For information: a published remodelling standard for foundations names 1/2 in (12.7 mm) between points within 20 ft (6.1 m). Your code and drawings decide.",
		"Como dato: una norma publicada de remodelación para cimientos da 1/2 pulg (12.7 mm) entre puntos a 20 pies (6.1 m) o menos. Deciden su reglamento y sus planos.",
	},
	"paper.sum.datum":     {"Datum: {1}. {2}.", "Nivel de obra: {1}. {2}."},
	"paper.sum.tolerance": {"Tolerance {1}", "Tolerancia {1}"},
	"paper.sum.tolerance-ours": {
		"Tolerance {1} (ours: nobody set one)",
		"Tolerancia {1} (nuestra: nadie la fijó)",
	},
	"paper.sum.on":     {"On {1}", "A nivel {1}"},
	"paper.sum.raise":  {"raise {1}, most {2} at {3}", "subir {1}, lo más {2} en {3}"},
	"paper.sum.lower":  {"lower {1}, most {2} at {3}", "bajar {1}, lo más {2} en {3}"},
	"paper.sum.none":   {"{1} 0", "{1} 0"},
	"paper.sum.unsure": {"close calls {1}", "dudosos {1}"},
	"paper.sum.moves":  {"{1} · {2} · {3}.", "{1} · {2} · {3}."},
	"paper.sum.moves-unsure": {
		"{1} · {2} · {3} · {4}.",
		"{1} · {2} · {3} · {4}.",
	},
	"paper.sum.unread": {"Unread: {1}.", "Sin leer: {1}."},
	"paper.sum.untied": {"Read but not tied to {2}: {1}.", "Leídos pero sin ligar a {2}: {1}."},
}
