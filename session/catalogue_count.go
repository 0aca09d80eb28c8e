package session

// countTexts are about what digits alone count.
var countTexts = map[Key]text{
	"count": {
		"Digits alone now count {1}: 6 is {2} = {3}. High or low: +6, 6 low, or a tap. As before again: count normal",
		"Los dígitos solos ahora cuentan {1}: 6 es {2} = {3}. Alto o bajo: +6, 6 bajo, o un toque. Otra vez como antes: contar normal",
	},
	"count.none": {
		"Digits alone are no count of parts: 38 is 3/8. To have them counted: count in sixteenths, count in eighths",
		"Los dígitos solos no son cuenta de partes: 38 es 3/8. Para que se cuenten: contar en dieciseisavos, contar en octavos",
	},
	"count.ended": {"Digits alone are no count of parts any more.", "Los dígitos solos ya no son cuenta de partes."},
	"count.none.same": {
		"Digits alone are no count of parts, and were none. This job counts in {1}.",
		"Los dígitos solos no son cuenta de partes, ni lo eran. Esta obra cuenta en {1}.",
	},
	"count.units": {
		"Eighths and sixteenths are parts of an inch, and this job counts in {1}: digits alone are that. To change it: units in",
		"Octavos y dieciseisavos son partes de pulgada, y esta obra cuenta en {1}: los dígitos solos son eso. Para cambiarlo: pulgadas",
	},
	"count.finest": {
		"The finest amount shown is {1}, so {2} could not be shown as what it is. First: finest {2}",
		"Lo más fino que se muestra es {1}, así que {2} no se vería como lo que es. Primero: fino {2}",
	},
	"count.standard": {
		"A standard rod's digits stay its own number: 55 3/8, 4' 7 3/8\".",
		"Los dígitos de una regla estándar siguen siendo su número: 55 3/8, 4' 7 3/8\".",
	},
	"count.summary": {"Digits alone count {1}.", "Los dígitos solos cuentan {1}."},
}
