package session

// surveyTexts are the sentences about how sure the numbers are.
var surveyTexts = map[Key]text{
	"unsure.on":    {"on, close call", "en su nivel, dudoso"},
	"unsure.raise": {"raise {1}, close call", "subir {1}, dudoso"},
	"unsure.lower": {"lower {1}, close call", "bajar {1}, dudoso"},

	"verdict.unsure":     {"Close calls: {1}, the most {2} at {3}.", "Dudosos: {1}, el mayor {2} en {3}."},
	"verdict.unsure.why": {"A close call is nearer to the tolerance than readings are sure. Check it again before it is moved or left.", "Dudoso: está más cerca de la tolerancia de lo que aseguran las lecturas. Revísalo otra vez antes de moverlo o dejarlo."},

	"paper.sum.unchecked":        {"{1} {1:station|stations} unchecked.", "{1} {1:punto|puntos} sin comprobar."},
	"paper.sum.good":             {"Good to {1}, 95 times in 100.", "Con margen de {1}, 95 veces de 100."},
	"paper.sum.band":             {"{1} (give or take {2})", "{1} (más o menos {2})"},
	"paper.sum.published.on":     {"within that", "dentro de eso"},
	"paper.sum.published.over":   {"more than that", "más que eso"},
	"paper.sum.published.unsure": {"too close to call", "muy justo para decirlo"},

	// Settings.
	"known":           {"{1} is known: {2}.", "{1} es conocido: {2}."},
	"known.none":      {"{1} is not known any more.", "{1} ya no es conocido."},
	"known.nothing":   {"No height was given for {1}.", "No había altura dada para {1}."},
	"known.unread":    {"It counts once {1} is read.", "Cuenta cuando se lea {1}."},
	"known.reference": {"That puts {1} at {2}.", "Con eso {1} queda a {2}."},
	"weights.setups":  {"Every set-up counts alike now, as level books have it.", "Ahora todas las posiciones cuentan igual, como en las libretas."},
	"weights.budget":  {"Readings count by the error budget now.", "Ahora las lecturas cuentan según el presupuesto de error."},
	"laser":           {"Set-up {1}: the laser stands at {2}.", "Posición {1}: el láser está en {2}."},
	"budget":          {"Error budget: beam {1}, cone {2}, receiver {3}, reading step {4}, rod within {5}° of plumb.", "Presupuesto de error: rayo {1}, cono {2}, receptor {3}, paso de lectura {4}, regla a {5}° de la plomada."},
	"budget.ours":     {"Error budget (ours; set parts like: budget receiver 1/32): beam {1}, cone {2}, receiver {3}, reading step {4}, rod within {5}° of plumb.", "Presupuesto de error (nuestro; cambia partes como: presupuesto receptor 1/32): rayo {1}, cono {2}, receptor {3}, paso de lectura {4}, regla a {5}° de la plomada."},
	"budget.nothing":  {"Receiver and reading cannot both be without error. Like: budget receiver 1/32", "El receptor y la lectura no pueden ser ambos sin error. Como: presupuesto receptor 1/32"},
	"grade":           {"{1} per {2}", "{1} por {2}"},
	"setting.alike":   {"set-ups alike", "posiciones por igual"},
	"setting.budget":  {"by the error budget", "según el presupuesto de error"},

	"matter.known":   {"height of {1}", "altura de {1}"},
	"matter.weights": {"weights", "pesos"},
	"matter.laser":   {"the laser's place in set-up {1}", "el lugar del láser en la posición {1}"},
	"matter.budget":  {"error budget", "presupuesto de error"},
}
