package session

// matterTexts name what an undo takes back of the plan, the rounds and the
// sign-off.
var matterTexts = map[Key]text{
	"matter.design":                {"the last step or fall", "el último escalón o caída"},
	"matter.figure":                {"{1}", "{1}"},
	"matter.figure.grinding costs": {"what grinding costs", "lo que cuesta esmerilar"},
	"matter.figure.grind at most":  {"the greatest grind", "lo más que se esmerila"},
	"matter.figure.shim at most":   {"the greatest shim", "lo más que se calza"},
	"matter.figure.stack at most":  {"the limit on a stack", "el límite de la pila"},
	"matter.figure.spares":         {"the spares", "las piezas de más"},
	"matter.figure.bearing":        {"the spacing of the joists", "la separación de las viguetas"},
	"matter.figure.bend":           {"the bend of the plate", "la flexión de la solera"},
	"matter.figure.plate":          {"the plate's thickness", "el grueso de la solera"},
	"matter.figure.plate width":    {"the plate's width", "el ancho de la solera"},
	"matter.figure.step tolerance": {"the tolerance of a step", "la tolerancia de un escalón"},
	"matter.figure.grout":          {"what a bag of grout makes", "lo que rinde un saco de mortero"},
	"matter.places":                {"{1}", "{1}"},
	"matter.places.bolts":          {"the places of the bolts", "los lugares de los pernos"},
	"matter.places.posts":          {"the places of the posts", "los lugares de los postes"},
	"matter.places.splices":        {"the places of the splices", "los lugares de los empalmes"},
	"matter.stock":                 {"the shims on hand", "las calzas que hay"},
	"matter.shims":                 {"the shims set last", "las últimas calzas puestas"},
	"matter.opening":               {"round {1}", "vuelta {1}"},
	"matter.signing":               {"the signature", "la firma"},
	"matter.note":                  {"the last note", "el último apunte"},
	"matter.count":                 {"counting digits in", "contar los dígitos en"},
	"matter.language":              {"the language of the job", "el idioma de la obra"},
	"setting.count.8":              {"eighths", "octavos"},
	"setting.count.16":             {"sixteenths", "dieciseisavos"},
	"setting.language.en":          {"English", "inglés"},
	"setting.language.es":          {"Spanish", "español"},
}
