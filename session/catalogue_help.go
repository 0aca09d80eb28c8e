package session

// helpTexts are the lines of the help screen: a phone shows them at once. What
// stands behind a colon works as it stands there, one item after each comma.
var helpTexts = map[Key]text{
	"help.begin":     {"To begin: new East house, 40x28, direct rod, on", "Para empezar: nuevo Casa este, 40x28, regla directa, a nivel"},
	"language.other": {"Español: español", "English: english"},
	"help.read":      {"Send what the rod shows: 3/8 low, -3/8, on", "Manda lo que marca la regla: 3/8 bajo, -3/8, a nivel"},
	"help.named":     {"A station by name: c3 -3/8, c3+8 1/4 high", "Un punto por su nombre: c3 -3/8, c3+8 1/4 alto"},
	"help.standard":  {"Standard rod: 4' 7 3/8\", 55 3/8, 1.412 m", "Regla estándar: 4' 7 3/8\", 55 3/8, 1.412 m"},
	"help.batch":     {"Many readings in one message, one a line", "Muchas lecturas en un mensaje, una por línea"},
	"help.correct":   {"Put right (or edit your message): undo, c3 is -1/4", "Corregir (o edita tu mensaje): borra, c3 es -1/4"},
	"help.check":     {"Check a spot or the benchmark: check c3 -1/4, bm 0", "Revisar un punto o el banco: revisa c3 -1/4, bm 0"},
	"help.walk":      {"On the way: skip, no beam c3+8, other way, left, more, repeat", "En el camino: salta, sin rayo c3+8, otro lado, qué falta, otros, repite"},
	"help.look":      {"Look: picture, original, summary, kept", "Ver: dibujo, original, resumen, guardado"},
	"help.done":      {"At the end: done, datum high, datum first, datum c2, tolerance 1/8", "Al final: listo, datum alto, datum primero, datum c2, tolerancia 1/8"},
	"help.round":     {"Further rounds: next round, laser not moved, surface plate, plate 1 1/2, bolts tight", "Más vueltas: siguiente vuelta, láser no movido, superficie solera, solera 1 1/2, pernos apretados"},
	"help.sign":      {"Sign off, on the plate with the bolts tight: sign", "Firmar, sobre la solera con los pernos apretados: firma"},
	"help.shims":     {"The plan: shims, stock 1/16 x20, stack at most 4, shim at most 1, spares 10, grout 0.4 ft3", "El plan: calzas, existencias 1/16 x20, apilar máximo 4, calzar máximo 1, repuestos 10, mortero 0.4 pies3"},
	"help.set":       {"Set them: start shimming, shimmed c3+8, shimmed c3 to c4, left, took out c3+8 1/8, unshim c3+8", "Ponerlas: empezar a calzar, calzado c3+8, calzado c3 a c4, qué falta, saqué 1/8 en c3+8, quita calzas c3+8"},
	"help.grind":     {"Grinding: grind at most 1/8, no grinding, grinding costs 4", "Esmerilar: esmerilar máximo 1/8, sin esmerilar, esmerilar cuesta 4"},
	"help.every":     {"Check shots: check every 12, check every 30 min, break", "Revisiones: revisa cada 12, revisa cada 30 min, descanso"},
	"help.papers":    {"Papers: summary, papers, as found, notes", "Papeles: resumen, papeles, como estaba, notas"},
	"help.more":      {"More: help outline, help rod, help level, help shims, help rounds, help sure", "Más: ayuda contorno, ayuda regla, ayuda nivel, ayuda calzas, ayuda vueltas, ayuda calidad"},
	"help.job":       {"Jobs: new East house, jobs, job East house", "Obras: nuevo Casa este, obras, obra Casa este"},
	"help.outline": {
		"Outline: 40x28, 12x8 m, walls 40 left 28 left 40 left 28, loop garage 24x22 at 40,0, piers 10,14 20,14, spacing 6",
		"Contorno: 40x28, 12x8 m, muros 40 izquierda 28 izquierda 40 izquierda 28, anillo cochera 24x22 en 40,0, pilares 10,14 20,14, separación 6",
	},
	"help.angles": {
		"Angles: walls 20 left 45 deg 14.14 left 45 deg 10 left 30 left 20",
		"Ángulos: muros 20 izq 45 grados 14.14 izq 45 grados 10 izq 30 izq 20",
	},
	"help.design": {
		"Steps and falls by design: step c2 c3 8 in lower, fall c3 c4 1/8 per ft, c2 top -1/8",
		"Escalones y caídas de diseño: escalón c2 c3 8 pulg más bajo, caída c3 c4 1/8 por pie, c2 superior -1/8",
	},
	"help.units": {"Units: units in, units ft, units mm, finest 1/32, reference c2", "Unidades: pulgadas, pies, milímetros, fino 1/32, referencia c2"},
	"help.rod":   {"Rod: direct rod, standard rod, test rod", "Regla: regla directa, regla estándar, probar regla"},
	"help.count": {
		"Few keys, 6 for 6/16: count in sixteenths, count in eighths, count normal",
		"Pocas teclas, 6 por 6/16: contar en dieciseisavos, contar en octavos, contar normal",
	},
	"help.sure":  {"How sure it is: quality, notes, known bm 100 ft, laser 20,14, weights setups, budget", "Qué tan seguro es: calidad, notas, conocido bm 100 pies, láser en 20,14, pesos posiciones, presupuesto"},
	"help.voice": {"By voice note: three eighths low, yes, no, yes to all, answer aloud, answer in text", "Por nota de voz: tres octavos bajo, sí, no, sí a todo, contesta en voz, contesta por texto"},
	"help.moved": {"Laser moved, bumped, or to be tested: moved, bumped, check laser", "Láser movido, golpeado o por probar: movido, golpeado, revisa el láser"},
}
