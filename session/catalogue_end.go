package session

// endTexts are what is said when a walk has come to its end.
var endTexts = map[Key]text{
	"end.grade":         {"All readings fit a slope: {1} in {2}, down towards {3}: is a grade dialled in? Turning the laser tells: half turn", "Todas las lecturas siguen una pendiente: {1} en {2}, hacia abajo a {3}: ¿tiene el láser una pendiente puesta? Girándolo se sabe: media vuelta"},
	"end.either":        {"Readings do not agree, but which one is off cannot be told: {1}. Read one of them again: check {2}", "Hay lecturas que no concuerdan, pero no se sabe cuál está mal: {1}. Lee otra vez alguna: revisa {2}"},
	"end.residual.high": {"One reading does not agree with the others: {1} at rod {2} (rod {4}), {3} too high. Read it again: check {1}", "Una lectura no concuerda con las demás: {1} en regla {2} (regla {4}), {3} muy alta. Léela otra vez: revisa {1}"},
	"end.residual.low":  {"One reading does not agree with the others: {1} at rod {2} (rod {4}), {3} too low. Read it again: check {1}", "Una lectura no concuerda con las demás: {1} en regla {2} (regla {4}), {3} muy baja. Léela otra vez: revisa {1}"},
	"lot":               {"Before sign-off, read {1} again, drawn by lot: {2}. A slip that looks right shows no other way.", "Antes de firmar, lee {1} otra vez, por sorteo: {2}. Un error que parece bien no se ve de otro modo."},
	"lot.button":        {"re-shoot {1}", "repetir {1}"},
	"lot.go":            {"To read again, {1}: {2}", "Por leer otra vez, {1}: {2}"},
	"lot.none":          {"Nothing to read again yet: stations need a height, so read {1} first.", "Todavía no hay qué repetir: faltan alturas, así que lee {1} primero."},
	"lot.done":          {"The lot is done.", "El sorteo está hecho."},
}
