package session

// doubtTexts are what is said about readings that their neighbours make
// unlikely.
var doubtTexts = map[Key]text{
	"doubt":       {"{1}: {2}, its neighbours are about {3} (of {4}). Which is it? Right as sent: keep. Else send what the rod shows at {1}.", "{1}: {2}, sus vecinos andan por {3} (de {4}). ¿Cuál es? Si está bien: así es. Si no, manda lo que marca la regla en {1}."},
	"doubt.first": {"Or is {1} wrong? Put it right, like {2}", "¿O está mal {1}? Corrígelo, como {2}"},
	"doubt.keep":  {"keep it", "así es"},
	// Further words that answer it.
	"doubt.keep.words": {"keep|keep that|keep as is", "asi es|queda|dejala|déjala|dejalo|déjalo"},
	"repeat.doubt":     {"Still asked, about {2} at {1}: tap one, send keep, or send what the rod shows at {1}.", "Sigue la pregunta sobre {2} en {1}: toca una, manda así es, o manda lo que marca la regla en {1}."},
}
