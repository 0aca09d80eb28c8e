package session

// noteTexts are said of notes and photos that are kept with a station.
var noteTexts = map[Key]text{
	"note.kept":     {"{1}: note kept.", "{1}: apunte guardado."},
	"note.same":     {"{1}: that note is kept already.", "{1}: ese apunte ya está guardado."},
	"note.where":    {"No station is asked for now. Say which one the note is for, like: {1}", "Ahora no se pide ningún punto. Di para cuál es el apunte, como: {1}"},
	"note.back":     {"{1}: note taken back.", "{1}: apunte quitado."},
	"note.changed":  {"{1}: note changed.", "{1}: apunte cambiado."},
	"note.stays":    {"{1}: the note stays as it was. {2}", "{1}: el apunte queda como estaba. {2}"},
	"photo.kept":    {"{1}: photo kept.", "{1}: foto guardada."},
	"photo.back":    {"{1}: photo taken back.", "{1}: foto quitada."},
	"photo.changed": {"{1}: what stands with the photo is changed.", "{1}: cambió lo que acompaña a la foto."},
	"photo.cut":     {"What was written with it is longer than {1} characters: the rest is left out.", "Lo escrito con ella tiene más de {1} letras: se deja fuera el resto."},
	"photo.instead": {"for {1} instead", "es de {1}"},
	"photo.gone":    {"That photo was taken back meanwhile.", "Esa foto ya se quitó."},
	"photo.where":   {"No station is asked for now, so the photo is not kept. Send it again with a station's name: c1", "Ahora no se pide ningún punto, así que la foto no se guarda. Mándala otra vez con el nombre de un punto: c1"},
	"photo.refused": {"The photo is not kept. {1}", "La foto no se guarda. {1}"},
	"photo.busy":    {"The photo could not be fetched and is not kept. Send it again.", "No se pudo bajar la foto y no se guarda. Mándala otra vez."},
	"photo.large":   {"The photo is too large and is not kept. Send it as a photo, not as a file.", "La foto es demasiado grande y no se guarda. Mándala como foto, no como archivo."},
	"photo.broken":  {"That is no photo that can be kept. Send it as a photo, not as a file.", "Esa no es una foto que se pueda guardar. Mándala como foto, no como archivo."},
	"help.note":     {"Kept with a station, as a photo is that you send: note form blew out, note c3 bolt bent", "Se guarda con un punto, como una foto que mandes: apunte se abrió la cimbra, apunte c3 perno doblado"},

	"papers.kept":         {"Notes and photos", "Apuntes y fotos"},
	"papers.kept.when":    {"when", "cuándo"},
	"papers.kept.who":     {"who", "quién"},
	"papers.kept.round":   {"round", "vuelta"},
	"papers.kept.note":    {"note", "apunte"},
	"papers.kept.photo":   {"photo {1}", "foto {1}"},
	"papers.kept.unshown": {"photo {1}, kept but not shown here", "foto {1}, guardada pero no se muestra aquí"},
	"papers.kept.under":   {"photo {1}: {2}", "foto {1}: {2}"},

	"paper.sum.notes":  {"{1} {1:note|notes}", "{1} {1:apunte|apuntes}"},
	"paper.sum.photos": {"{1} {1:photo|photos}", "{1} {1:foto|fotos}"},
	"paper.sum.kept":   {"Kept with stations: {1}.", "Guardado con los puntos: {1}."},
}
