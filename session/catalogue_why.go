package session

// whyTexts say why a line was asked back or refused, one for each code of
// package phrase: what was heard, why not, and what would work.
var whyTexts = map[Key]text{
	"why.not-understood": {"{1}: not understood. Send what the rod shows, like {2} or c3 {2}; help shows more.", "{1}: no lo entiendo. Manda lo que marca la regla, como {2} o c3 {2}; ayuda muestra más."},
	"why.no-side":        {"{1}: high or low?", "{1}: ¿alto o bajo?"},
	"why.spot-or-move":   {"{2}: is the spot high or low, or does it have to move? Tap one.", "{2}: ¿el punto está alto o bajo, o hay que moverlo? Toca una."},
	"why.two-sides":      {"{1}: that says two sides at once. Which one?", "{1}: ahí hay dos lados a la vez. ¿Cuál?"},
	"why.two-amounts":    {"{1}: that holds two amounts. Which one? One reading a line.", "{1}: ahí hay dos medidas. ¿Cuál? Una lectura por línea."},
	"why.two-ways":       {"{1} could be two things. Which one?", "{1} puede ser dos cosas. ¿Cuál?"},
	"why.unsure":         {"{1}: {2} makes that a guess. What does the rod show? Like {3}", "{1}: con {2} no queda claro. ¿Qué marca la regla? Como {3}"},
	"why.dash":           {"{1}: a minus, or just a dash? Tap one.", "{1}: ¿es menos, o solo un guion? Toca una."},
	"why.plus":           {"{1}: past the corner, or high? Without a space it is a station: c3+8 -1/8", "{1}: ¿pasando la esquina, o alto? Sin espacio es un punto: c3+8 -1/8"},
	"why.more":           {"{1}: {2} is not understood beside a reading. Tap the reading if that is all.", "{1}: no entiendo {2} junto a una lectura. Toca la lectura si es todo."},
	"why.no-amount":      {"{1}: by how much? Send the rod's number, like {2}.", "{1}: ¿cuánto? Manda lo que marca la regla, como {2}."},
	"why.station-only":   {"What does the rod show at {1}?", "¿Qué marca la regla en {1}?"},
	"why.rod-number":     {"{1}: a standard rod counts up from its foot. Send its own number, like 4' 7 3/8\", or say direct rod.", "{1}: la regla estándar cuenta desde su pie. Manda su número, como 4' 7 3/8\", o di regla directa."},
	"why.feet-or-inches": {"{1}: feet or inches? Send it with its unit, like 4' 7\" or 55 3/8 in.", "{1}: ¿pies o pulgadas? Mándalo con su unidad, como 4' 7\" o 55 3/8 in."},
	"why.no-part":        {"{1} is on no rod: halves, quarters, eighths, sixteenths and finer. Like {2}", "{1} no está en ninguna regla: medios, cuartos, octavos, dieciseisavos y más finos. Como {2}"},
	"why.reach":          {"{1} is more than this rod shows ({2}). Like {3}", "{1} es más de lo que marca esta regla ({2}). Como {3}"},
	"why.inches":         {"{1} inches behind feet: there are only 12 in a foot. Like {2}", "{1} pulgadas después de pies: un pie solo tiene 12. Como {2}"},
	"why.too-fine":       {"{1} is finer than anything can be read. Like {2}", "{1} es más fino de lo que se puede leer. Como {2}"},
	"why.no-station":     {"There is no {1}: this outline has corners c1 to c{2}. Like c2 {3}", "No hay {1}: este contorno tiene esquinas c1 a c{2}. Como c2 {3}"},
	"why.no-pier":        {"There is no {1}: this job has {2} {2:pier|piers}. Set them with piers 10,14 20,14", "No hay {1}: esta obra tiene {2} {2:pilar|pilares}. Ponlos con pilares 10,14 20,14"},
	"why.past-end":       {"There is no {1}: the wall from {2} is {3} long. Like {2}+1 {4}", "No hay {1}: el muro desde {2} mide {3}. Como {2}+1 {4}"},
	"why.two-stations":   {"{1}: that names two stations. Which one? One a line, like c3 {2}", "{1}: ahí hay dos puntos. ¿Cuál? Uno por línea, como c3 {2}"},
	"why.meant":          {"{1}: is {2} meant? Tap it if so.", "{1}: ¿quieres decir {2}? Si es así, tócalo."},
	"why.too-long":       {"That line is too long: up to {1} characters are read. One reading a line, like c3 {2}", "Esa línea es muy larga: se leen hasta {1} letras. Una lectura por línea, como c3 {2}"},
	"why.command-form":   {"{1}: that part is not understood. Like: {2}", "{1}: esa parte no se entiende. Como: {2}"},
}
