package session

// doubtTexts are what is said about readings that their neighbours make
// unlikely.
var doubtTexts = map[Key]text{
	"doubt":        {"{1}: {2}, its neighbours are about {3} (of {4}). Which is it?", "{1}: {2}, sus vecinos andan por {3} (de {4}). ¿Cuál es?"},
	"doubt.keep":   {"keep it", "así es"},
	"repeat.doubt": {"Still asked, about {2} at {1}: tap one, or send the reading again to keep it.", "Sigue la pregunta sobre {2} en {1}: toca una, o manda la lectura otra vez para dejarla."},
}
