package session

// unitTexts are said in place of the ones without their last part, "mm" or "ft",
// in jobs that count so: their examples are in the job's own unit.
var unitTexts = map[Key]text{
	"empty.mm":           {"Nothing to read in that. Send what the rod shows, like 9 low.", "No hay nada que leer. Manda lo que marca la regla, como 9 bajo."},
	"empty.ft":           {"Nothing to read in that. Send what the rod shows, like 0.03 low.", "No hay nada que leer. Manda lo que marca la regla, como 0.03 bajo."},
	"wordless.mm":        {"Only texts are read here. Send what the rod shows, like 9 low.", "Aquí solo se leen textos. Manda lo que marca la regla, como 9 bajo."},
	"wordless.ft":        {"Only texts are read here. Send what the rod shows, like 0.03 low.", "Aquí solo se leen textos. Manda lo que marca la regla, como 0.03 bajo."},
	"nostation.mm":       {"Heard {1}, but no station is being asked for. Name it: c3 -9", "Oí {1}, pero no se pide ningún punto. Nómbralo: c3 -9"},
	"nostation.ft":       {"Heard {1}, but no station is being asked for. Name it: c3 -0.03", "Oí {1}, pero no se pide ningún punto. Nómbralo: c3 -0.03"},
	"undo.newer.mm":      {"Your newest is from before somebody else set the same thing ({1}); theirs comes first. Say anew what should hold, like tolerance 3 mm", "Lo último tuyo es de antes de que otra persona fijara lo mismo ({1}); lo suyo va primero. Di de nuevo lo que debe valer, como tolerancia 3 mm"},
	"undo.newer.ft":      {"Your newest is from before somebody else set the same thing ({1}); theirs comes first. Say anew what should hold, like tolerance 0.01 ft", "Lo último tuyo es de antes de que otra persona fijara lo mismo ({1}); lo suyo va primero. Di de nuevo lo que debe valer, como tolerancia 0.01"},
	"datum.which.mm":     {"Which level to build to? Also: datum c2, datum -3", "¿A qué nivel se construye? También: datum c2, datum -3"},
	"datum.which.ft":     {"Which level to build to? Also: datum c2, datum -0.01", "¿A qué nivel se construye? También: datum c2, datum -0.01"},
	"verdict.on.ours.mm": {"On: {1}, within {2} either way (our figure; set yours: tolerance 3 mm).", "En su nivel: {1}, dentro de {2} (cifra nuestra; pon la tuya: tolerancia 3 mm)."},
	"verdict.on.ours.ft": {"On: {1}, within {2} either way (our figure; set yours: tolerance 0.01 ft).", "En su nivel: {1}, dentro de {2} (cifra nuestra; pon la tuya: tolerancia 0.01)."},
	"left.free.mm":       {"{1} read so far. Without an outline there is no telling what is left: send one, like 12x8 m.", "{1} leídos hasta ahora. Sin contorno no se sabe qué falta: manda uno, como 12x8 m."},
	"picture.nothing.mm": {"Nothing to draw yet. Send an outline, like 12x8 m, or a reading.", "Todavía no hay qué dibujar. Manda un contorno, como 12x8 m, o una lectura."},
	"outline.none.mm":    {"{1} {1:pier|piers} noted. The walls are still to come: 12x8 m", "{1} {1:pilar anotado|pilares anotados}. Faltan los muros: 12x8 m"},

	"help.read.mm":     {"Send what the rod shows: 9 low, -9, on", "Manda lo que marca la regla: 9 bajo, -9, a nivel"},
	"help.named.mm":    {"A station by name: c3 -9, c3+2 6 high", "Un punto por su nombre: c3 -9, c3+2 6 alto"},
	"help.standard.mm": {"Standard rod: 1412, 1.412 m", "Regla estándar: 1412, 1.412 m"},
	"help.correct.mm":  {"Put right (or edit your message): undo, c3 is -6", "Corregir (o edita tu mensaje): borra, c3 es -6"},
	"help.check.mm":    {"Check a spot or the benchmark: check c3 -6, bm 0", "Revisar un punto o el banco: revisa c3 -6, bm 0"},
	"help.walk.mm":     {"On the way: skip, no beam c3+2, other way, left, repeat", "En el camino: salta, sin rayo c3+2, otro lado, qué falta, repite"},
	"help.done.mm":     {"At the end: done, datum high, datum first, datum c2, tolerance 3 mm", "Al final: listo, datum alto, datum primero, datum c2, tolerancia 3 mm"},
	"help.outline.mm": {
		"Outline: 12x8 m, walls 12 left 8 left 12 left 8 m, loop garage 7x6 at 12,0, piers 3,4 6,4, spacing 2",
		"Contorno: 12x8 m, muros 12 izquierda 8 izquierda 12 izquierda 8 m, anillo cochera 7x6 en 12,0, pilares 3,4 6,4, separación 2",
	},
	"help.units.mm": {"Units: units in, units ft, units mm, finest 0.1, reference c2", "Unidades: pulgadas, pies, milímetros, fino 0.1, referencia c2"},
}
