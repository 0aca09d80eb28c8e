package session

// voiceTexts are what is said to voice notes, and of what was heard in them.
var voiceTexts = map[Key]text{
	// Why nothing was heard, and what works.
	"voice.engine":         {"Nothing here makes words of speech, so your voice notes are not heard. Type or tap what the rod shows, like {1}; all else works. Whoever runs the bot can install a recogniser.", "Aquí nada convierte la voz en palabras, así que tus notas de voz no se oyen. Escribe o toca lo que marca la regla, como {1}; todo lo demás funciona. Quien opera el bot puede instalar un reconocedor."},
	"voice.engine.again":   {"Voice is not heard here: type or tap it, like {1}.", "Aquí no se oye la voz: escríbelo o tócalo, como {1}."},
	"voice.language":       {"Speech is heard in English only here. Say it in English, or type or tap it, like {1}.", "Por voz aquí solo se entiende inglés. Escríbelo o tócalo en español, como {1}, o dilo en inglés."},
	"voice.language.again": {"Voice in English only: type or tap it.", "Por voz solo inglés: escríbelo o tócalo."},
	"voice.loud":           {"Too loud here: tap or type it.", "Demasiado ruido: tócalo o escríbelo."},
	"voice.long":           {"That note is too long. Say one reading, like {2}.", "Esa nota es demasiado larga. Di una sola lectura, como {2}."},
	"voice.empty":          {"Nobody is heard in that note. Hold the button and say it, like {2}.", "En esa nota no se oye a nadie. Mantén el botón y dilo, como {2}."},
	"voice.talk":           {"Heard no reading in that. Say just what the rod shows, like {2}, or tap it.", "No se oyó ninguna lectura. Di solo lo que marca la regla, como {2}."},
	"voice.broken":         {"That is no voice note that can be played. Send it again, or type it.", "Esa nota de voz no se puede oír. Mándala otra vez o escríbela."},
	"voice.busy":           {"That note could not be fetched or took too long. Nothing was stored: say it again, or tap it.", "Esa nota no se pudo bajar o tardó demasiado. No se guardó nada: dilo otra vez o tócalo."},
	"voice.typed":          {"Heard {1}, but this figure is taken typed or tapped only: a whole set-up hangs on it.", "Se oyó {1}, pero este número solo se toma escrito o tocado: de él depende una posición entera."},
	"voice.first":          {"Heard: {1}. Nothing is done before you tap yes.", "Se oyó: {1}. No se hace nada hasta que toques sí."},
	"voice.one":            {"Heard: {1}. First the question that is open.", "Se oyó: {1}. Primero la pregunta abierta."},

	// What was heard, and is not firm yet.
	"heard.echo":        {"{1}: heard {2}", "{1}: se oyó {2}"},
	"heard.at":          {"{1} {2}", "{1} {2}"},
	"heard.or":          {"{1} or {2}", "{1} o {2}"},
	"heard.how":         {"Wrong? Say no, or tap the right one. Reading the next station keeps it.", "¿Está mal? Di no, o toca el correcto. Si lees el siguiente punto, se queda."},
	"heard.which":       {"It may be {1}: tap which.", "Puede ser {1}: toca cuál."},
	"heard.again":       {"Still open, {1}: heard {2}. Is that right?", "Queda abierto, {1}: se oyó {2}. ¿Es correcto?"},
	"heard.again.which": {"Still open, {1}: {2} or {3}?", "Queda abierto, {1}: ¿{2} o {3}?"},
	"heard.firm":        {"{1}: {2}, confirmed.", "{1}: {2}, confirmado."},
	"heard.firm.all":    {"Confirmed, {1}: {2}.", "Confirmado, {1}: {2}."},
	"heard.put":         {"{1}: {2} in place of {3}.", "{1}: {2} en lugar de {3}."},
	"heard.nothing":     {"Nothing heard waits to be confirmed.", "Nada de lo oído espera confirmación."},
	"heard.nothing.at":  {"Nothing heard waits to be confirmed at {1}.", "Nada de lo oído espera confirmación en {1}."},
	"heard.open":        {"Heard, not confirmed, {1}: {2}.", "Oído, sin confirmar, {1}: {2}."},
	"heard.yes":         {"yes", "sí"},
	"heard.no":          {"no", "no"},
	"heard.all":         {"yes to all", "sí a todo"},
	"heard.confirm":     {"{1}: yes", "{1}: sí"},
	"heard.sign":        {"Not signed: {1} {1:reading was heard and nobody has|readings were heard and nobody has} confirmed {1:it|them}: {2}. Confirm, or read again.", "Sin firmar: {1} {1:lectura se oyó y nadie la|lecturas se oyeron y nadie las} confirmó: {2}. Confirma o lee otra vez."},

	// On drawings, in summaries and on papers.
	"paper.heard":       {"Heard, not confirmed, {1}: {2}.", "Oído, sin confirmar, {1}: {2}."},
	"paper.heard.count": {"{1} heard, not confirmed", "{1} oídas, sin confirmar"},
	"papers.col.heard":  {"heard", "oído"},
	"papers.heard":      {"not confirmed", "sin confirmar"},

	// Answers aloud.
	"aloud.on":      {"Voice notes are answered aloud from now on. Back: answer in text", "Las notas de voz se contestan en voz desde ahora. Para volver: contesta por texto"},
	"aloud.off":     {"Answers come as text only.", "Las respuestas llegan solo por texto."},
	"aloud.none":    {"This bot has nothing to speak with, so answers come as text. All else works.", "Este bot no tiene con qué hablar, así que las respuestas llegan por texto. Todo lo demás funciona."},
	"aloud.reading": {"{1}, {2}.", "{1}, {2}."},
	"aloud.sure":    {"Is that right?", "¿Es correcto?"},
	"aloud.plus":    {"plus", "más"},
}
