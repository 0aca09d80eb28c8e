package session

// laserTexts are the tests of a laser: what is asked, and what came out.
var laserTexts = map[Key]text{
	"laser.which":           {"Which test? Two pegs: out on a line, for a beam that climbs with the distance. Four headings: one far spot, for a tilted beam. Half turn: three stations read again, slab and beam apart.", "¿Cuál prueba? Dos estacas: en línea, por si el rayo sube con la distancia. Cuatro lados: un punto lejano, por si el rayo va inclinado. Media vuelta: tres puntos otra vez, separa la losa del rayo."},
	"laser.pegs.button":     {"two pegs", "dos estacas"},
	"laser.headings.button": {"four headings", "cuatro lados"},
	"laser.turn.button":     {"half turn", "media vuelta"},

	"laser.pegs.1":     {"Two pegs a and b, some {1} apart, the laser midway. What does the rod show on a?", "Dos estacas a y b, a unos {1}, el láser a la mitad. ¿Qué marca la regla en a?"},
	"laser.pegs.2":     {"And on b?", "¿Y en b?"},
	"laser.pegs.3":     {"Now set the laser close to one peg, facing the same way. What does the rod show on a?", "Ahora pon el láser cerca de una estaca, viendo al mismo lado. ¿Qué marca la regla en a?"},
	"laser.pegs.4":     {"And on b?", "¿Y en b?"},
	"laser.pegs.5":     {"How far is a from the laser now?", "¿A qué distancia está a del láser ahora?"},
	"laser.pegs.6":     {"And b?", "¿Y b?"},
	"laser.headings.1": {"One firm spot about {1} off, best farther than any wall. How far is it from the laser?", "Un punto firme a unos {1}, mejor más lejos que cualquier muro. ¿A qué distancia está del láser?"},
	"laser.headings.2": {"Pick a mark on the laser and turn it to face the rod. What does the rod show?", "Escoge una marca del láser y ponla hacia la regla. ¿Qué marca la regla?"},
	"laser.headings.3": {"Turn the laser on its tripod until its left side faces the rod, and let it settle. The rod?", "Gira el láser en su tripié hasta que su lado izquierdo vea la regla, y deja que se nivele. ¿La regla?"},
	"laser.headings.4": {"Now its back to the rod. The rod?", "Ahora su espalda hacia la regla. ¿La regla?"},
	"laser.headings.5": {"Now its right side. The rod?", "Ahora su lado derecho. ¿La regla?"},
	"laser.turn.1":     {"Turn the laser half round on its tripod and let it settle. Then the rod on {2}?", "Gira el láser media vuelta en su tripié y deja que se nivele. ¿La regla en {2}?"},
	"laser.turn.2":     {"And on {2}?", "¿Y en {2}?"},
	"laser.turn.3":     {"And on {2}?", "¿Y en {2}?"},

	"laser.notfar":   {"{1}: no distance. Send how far it is from the laser, like {2}", "{1}: no es distancia. Manda a cuánto está del láser, como {2}"},
	"laser.same":     {"Both pegs are as far from the laser: that tells nothing. Set it close to one of them. How far is a from it?", "Las dos estacas están igual de lejos del láser: así no se ve nada. Ponlo cerca de una. ¿A qué distancia está a?"},
	"laser.nothree":  {"First read three stations with this rod that are not in a line, far apart: corners are best.", "Primero lee con esta regla tres puntos que no estén en línea, bien separados: mejor esquinas."},
	"laser.moved":    {"A reading changed since: send half turn to begin again.", "Una lectura cambió desde entonces: manda media vuelta para empezar otra vez."},
	"laser.pegs.out": {"{1} should show {2} and showed {3}: the beam is off by {4} in {5}.", "{1} debía marcar {2} y marcó {3}: el rayo se desvía {4} en {5}."},

	"laser.headings.out":   {"The beam's plane tilts by {1} in {2}.", "El plano del rayo se inclina {1} en {2}."},
	"laser.headings.cross": {"Front and back together do not match the two sides, by {1}: the laser stood at another height after a turn. Do it again; nothing is kept.", "Frente y espalda juntos no dan lo mismo que los dos lados, por {1}: el láser quedó a otra altura tras un giro. Hazlo otra vez; no se guarda nada."},
	"laser.turn.out":       {"The three stations rise {1} in {2} towards {3}; the beam rose {4} in {2} towards {5}.", "Los tres puntos suben {1} en {2} hacia {3}; el rayo subía {4} en {2} hacia {5}."},
	"laser.within":         {"The readings cannot tell that from nothing.", "Las lecturas no lo distinguen de nada."},
	"laser.beyond":         {"That is more than these readings leave to chance. Hold it against what its maker promises; until it is adjusted, keep distances from the laser alike.", "Eso es más de lo que estas lecturas dejan al azar. Compáralo con lo que promete el fabricante; hasta ajustarlo, mantén parejas las distancias al láser."},
	"laser.left.turned":    {"If the laser was turned already, send moved.", "Si el láser ya se giró, manda movido."},
	"laser.left":           {"The test of the laser is left there; nothing of it is kept.", "La prueba del láser se deja ahí; de ella no se guarda nada."},
	"laser.turned":         {"The laser stands turned now: send moved before you read on.", "El láser quedó girado: manda movido antes de seguir leyendo."},

	"matter.laser-check":   {"the check of the laser", "la revisión del láser"},
	"paper.sum.laser.none": {"Beam not tested (send: check laser).", "Rayo sin probar (manda: revisa el láser)."},
	"paper.sum.laser":      {"Beam tested {1}: {2}, {3} in {4}.", "Rayo probado {1}: {2}, {3} en {4}."},
	"paper.laser.none":     {"beam not tested on this job", "rayo sin probar en esta obra"},
	"paper.laser":          {"beam tested {1}: {2}, {3} in {4}", "rayo probado {1}: {2}, {3} en {4}"},
	"paper.laser.pegs":     {"two pegs", "dos estacas"},
	"paper.laser.headings": {"four headings", "cuatro lados"},
	"paper.laser.turn":     {"half turn", "media vuelta"},
}
