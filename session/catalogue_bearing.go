package session

// bearingTexts are what is said of the plate: where it bears, and its line.
var bearingTexts = map[Key]text{
	"bearing":       {"Joists or studs every {1}: the plate bears there.", "Viguetas o pies derechos cada {1}: ahí apoya la solera."},
	"bearing.ours":  {"Joists or studs every {1} (our figure).", "Viguetas o pies derechos cada {1} (cifra nuestra)."},
	"bearing.range": {"{1}: joists and studs stand {3} to {4} apart. Like: {2}", "{1}: las viguetas van de {3} a {4} una de otra. Como: {2}"},

	"bend":       {"The plate may hollow {1} at most.", "La solera puede hundirse {1} a lo más."},
	"bend.ours":  {"The plate may hollow {1} at most (our figure).", "La solera puede hundirse {1} a lo más (cifra nuestra)."},
	"bend.rate":  {"{1} under {2}", "{1} bajo {2}"},
	"bend.range": {"{1}: no plate bends {3}. Like: {2}", "{1}: ninguna solera se dobla {3}. Como: {2}"},

	"bolts.every": {"Bolts at most {1} apart and near each end of a plate: {2} in all, our layout. Where they really are: bolts at c1+2 c1+8", "Pernos a {1} a lo más y cerca de cada extremo de la solera: {2} en total, reparto nuestro. Donde están de verdad: pernos en c1+2 c1+8"},
	"bolts.range": {"{1}: bolts stand {3} to {4} apart; local code and drawings govern. Like: {2}", "{1}: los pernos van de {3} a {4} uno de otro; mandan el código local y los planos. Como: {2}"},

	"places.bolts":           {"Bolts at {1}: the plate bears either side of each.", "Pernos en {1}: la solera apoya a ambos lados de cada uno."},
	"places.posts":           {"Posts at {1}: the plate bears under each.", "Postes en {1}: la solera apoya debajo de cada uno."},
	"places.splices":         {"Splices of the plate at {1}: it bears either side of each.", "Empalmes de la solera en {1}: apoya a ambos lados de cada uno."},
	"places.instead":         {"Not at {1} any more.", "Ya no en {1}."},
	"places.none.bolts":      {"No bolts are reckoned with.", "No se cuenta con pernos."},
	"places.none.posts":      {"No posts are reckoned with.", "No se cuenta con postes."},
	"places.none.splices":    {"No splices are reckoned with.", "No se cuenta con empalmes."},
	"places.nothing.bolts":   {"Nobody said where bolts are. Like: {1}", "Nadie ha dicho dónde hay pernos. Como: {1}"},
	"places.nothing.posts":   {"Nobody said where posts are. Like: {1}", "Nadie ha dicho dónde hay postes. Como: {1}"},
	"places.nothing.splices": {"Nobody said where splices are. Like: {1}", "Nadie ha dicho dónde hay empalmes. Como: {1}"},
	"places.nowalls":         {"{1}: there are no walls for them yet. Send an outline first, like 40x28, then {2}", "{1}: todavía no hay muros donde ponerlos. Manda primero un contorno, como 40x28, y luego {2}"},
	"places.nowalls.mm":      {"{1}: there are no walls for them yet. Send an outline first, like 12x8 m, then {2}", "{1}: todavía no hay muros donde ponerlos. Manda primero un contorno, como 12x8 m, y luego {2}"},

	"plate.points":   {"The plate bears at {1} {1:spot|spots}.", "La solera apoya en {1} {1:punto|puntos}."},
	"plate.unknown":  {"{1} {1:has|have} no amount yet. To be read: {2}", "{1} sin medida todavía. Por leer: {2}"},
	"plate.forline":  {"{1} reads within tolerance, but is raised {2} so that the plate has no hollow.", "{1} marca dentro de la tolerancia, pero se sube {2} para que la solera no tenga hueco."},
	"plate.forlines": {"{1} read within tolerance, but are raised up to {2} so that the plate has no hollow.", "{1} marcan dentro de la tolerancia, pero se suben hasta {2} para que la solera no tenga huecos."},
	"plate.bends":    {"More bend than {1}: {2}.", "Más flexión que {1}: {2}."},
	"plate.hump":     {"{1} a hump of {2}", "{1} un lomo de {2}"},
	"plate.hollow":   {"{1} a hollow of {2}", "{1} un hueco de {2}"},

	"help.plate":    {"Under the plate: bearing 16, bolts every 6, bolts at c1+2 c1+8, posts c2+8, splices c1+16, bend 1/16 in 8 ft", "Bajo la solera: apoyos 16, pernos cada 6, pernos en c1+2 c1+8, postes c2+8, empalmes c1+16, flexión 1/16 en 8 pies"},
	"help.plate.mm": {"Under the plate: bearing 400, bolts every 1.8, bolts at c1+1 c1+2, posts c2+3, splices c1+5, bend 2 mm in 3 m", "Bajo la solera: apoyos 400, pernos cada 1.8, pernos en c1+1 c1+2, postes c2+3, empalmes c1+5, flexión 2 mm en 3 m"},
}
