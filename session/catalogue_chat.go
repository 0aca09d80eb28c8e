package session

// chatTexts are what is said about chats themselves: who may talk in them, and
// how much of them is heard.
var chatTexts = map[Key]text{
	"wordless": {"Only texts are read here. Send what the rod shows, like 3/8 low.", "Aquí solo se leen textos. Manda lo que marca la regla, como 3/8 bajo."},
	"joined":   {"Here to keep the field book of a foundation's walk. Open a job: new East house", "Aquí para llevar la libreta de la nivelación. Abre una obra: nuevo Casa este"},
	"deaf": {
		"In this group only commands (/new East house) and replies to my messages reach me. To have plain readings heard: make me an administrator here, or switch my privacy mode off and add me again.",
		"En este grupo solo me llegan comandos (/new Casa este) y respuestas a mis mensajes. Para que oiga lecturas sueltas: hazme administrador aquí, o apaga mi modo de privacidad y agrégame otra vez.",
	},

	// The platform's list of commands.
	"menu.new":       {"open a job: /new East house", "abrir una obra: /new Casa este"},
	"menu.undo":      {"take the last thing back", "quitar lo último"},
	"menu.skip":      {"go past this station", "saltar este punto"},
	"menu.left":      {"what is left to read", "qué falta por leer"},
	"menu.repeat":    {"what is asked now", "qué se pide ahora"},
	"menu.picture":   {"the drawing", "el dibujo"},
	"menu.summary":   {"how far out it is", "qué tan desnivelado está"},
	"menu.done":      {"end the walk", "terminar el recorrido"},
	"menu.datum":     {"choose the level: /datum high", "elegir el nivel: /datum alto"},
	"menu.tolerance": {"how far off is allowed: /tolerance 1/8", "cuánto se permite: /tolerance 1/8"},
	"menu.jobs":      {"the jobs of this chat", "las obras de este chat"},
	"menu.help":      {"what can be said", "qué se puede decir"},

	// Who may.
	"lead.only":    {"The level is chosen, and the walk signed, by whoever opened the job or by an administrator of this group.", "El nivel lo elige, y la obra la firma, quien abrió la obra o un administrador de este grupo."},
	"lead.unknown": {"It could not be found out whether you are an administrator of this group. Nothing was done; try again in a minute.", "No se pudo saber si eres administrador de este grupo. No se hizo nada; prueba otra vez en un minuto."},

	"stranger":     {"This bot belongs to a crew. Ask its owner for an invitation.", "Este bot es de una cuadrilla. Pide una invitación a su dueño."},
	"claimed":      {"You own this bot now. To let others in: /invite. To begin: new East house. Español: español", "Este bot ahora es tuyo. Para dejar entrar a otros: /invite. Para empezar: nuevo Casa este. English: english"},
	"admitted":     {"Welcome. To begin: new East house. Español: español", "Bienvenido. Para empezar: nuevo Casa este. English: english"},
	"code.spent":   {"That invitation was used or never was one. Ask the owner for another.", "Esa invitación ya se usó o nunca lo fue. Pide otra al dueño."},
	"invite":       {"Send this to one person; it works once: {1}", "Manda esto a una persona; sirve una vez: {1}"},
	"invite.group": {"To put the bot into a group: {1}", "Para poner el bot en un grupo: {1}"},
	"invite.only":  {"Only the owner of this bot invites.", "Solo el dueño de este bot invita."},
	"invite.here":  {"Invitations are made in the private chat with the bot, where nobody else can take them.", "Las invitaciones se hacen en el chat privado con el bot, donde nadie más las toma."},

	// Trouble.
	"flood": {
		"Too many messages: what you send from here on is NOT taken. Send nothing for half a minute, then go on with the station that was asked for last.",
		"Demasiados mensajes: lo que mandes desde aquí NO se toma. No mandes nada por medio minuto, y sigue luego con el punto que se pidió al final.",
	},
	"flood.at": {
		"Too many messages: what you send from here on is NOT taken. The next reading that is taken will be that of {1}. Send nothing for half a minute, then go on there.",
		"Demasiados mensajes: lo que mandes desde aquí NO se toma. La próxima lectura que se tome será la de {1}. No mandes nada por medio minuto, y sigue luego ahí.",
	},
	"flood.over": {
		"What you send is taken again. Messages of yours that were NOT taken: {1}.",
		"Lo que mandas se toma otra vez. Mensajes tuyos que NO se tomaron: {1}.",
	},
	"flood.over.at": {
		"What you send is taken again, from {2} on. Messages of yours that were NOT taken: {1}.",
		"Lo que mandas se toma otra vez, desde {2}. Mensajes tuyos que NO se tomaron: {1}.",
	},
	"unkept": {
		"NOT kept: nothing can be written down just now. Stop reading. What you sent waits, and is taken and answered by itself once it can be: do not send it again. What has no answer by tomorrow is lost: send that again then.",
		"NO se guardó: ahora no se puede anotar nada. Deja de leer. Lo que mandaste espera, y se toma y se contesta solo en cuanto se pueda: no lo mandes otra vez. Lo que mañana siga sin respuesta se perdió: mándalo entonces.",
	},
}
