package phrase

import (
	"slices"
	"strings"

	"rodcall/reduce"
)

// Class says what a word does in a reading.
type Class uint8

// The classes of words.
const (
	Cardinal   Class = iota + 1 // Num: three
	Part                        // Num: the denominator: eighths
	Article                     // one of something: an (eighth)
	HighWord                    // the spot is high
	LowWord                     // the spot is low
	RaiseWord                   // a move up: the spot is low
	CutWord                     // a move down: the spot is high
	EitherWord                  // could mean the spot or the move
	OnWord                      // no difference
	PlusWord
	MinusWord
	HeavyWord // half a sixteenth more
	ShyWord   // half a sixteenth less
	UnitWord  // Length: inch
	CornerWord
	PierWord
	BenchWord
	TurnWord
	PastWord // 8 past c3
	AndWord
	Filler   // carries nothing: is, the, of
	Not      // what follows is not so
	Need     // what follows is wanted, not so: needs, should
	Good     // says that it is fine, not how much
	HalfWord // Num: a reduce.Half: top
	Vague    // makes a reading a guess: about, a hair
)

// Word is one word of the table, in folded spelling: lower case, no accents.
type Word struct {
	Text   string
	Lang   string // "en", "es", "" for both
	Class  Class
	Num    int64         // of a Cardinal or a Part
	Length reduce.Length // of a UnitWord
}

func list(lang string, c Class, words string) []Word {
	var out []Word
	for _, w := range strings.Fields(words) {
		out = append(out, Word{Text: strings.ReplaceAll(w, "_", " "), Lang: lang, Class: c})
	}
	return out
}

// numbered gives each word of a list its number: "one:1 two:2".
func numbered(lang string, c Class, words string) []Word {
	var out []Word
	for _, w := range strings.Fields(words) {
		text, n, _ := strings.Cut(w, ":")
		num := int64(0)
		for _, d := range n {
			num = num*10 + int64(d-'0')
		}
		out = append(out, Word{Text: strings.ReplaceAll(text, "_", " "), Lang: lang, Class: c, Num: num})
	}
	return out
}

func units(l reduce.Length, lang, words string) []Word {
	out := list(lang, UnitWord, words)
	for i := range out {
		out[i].Length = l
	}
	return out
}

// words is the one table of the words in readings. A text of several words is
// one entry.
var words = slices.Concat(
	numbered("en", Cardinal, "zero:0 one:1 two:2 three:3 four:4 five:5 six:6 seven:7 eight:8 nine:9 ten:10 eleven:11 twelve:12 "+
		"thirteen:13 fourteen:14 fifteen:15 sixteen:16 seventeen:17 eighteen:18 nineteen:19 twenty:20 thirty:30 forty:40 fourty:40 "+
		"fifty:50 sixty:60 seventy:70 eighty:80 ninety:90 hundred:100 thousand:1000"),
	numbered("es", Cardinal, "cero:0 uno:1 dos:2 tres:3 cuatro:4 cinco:5 seis:6 siete:7 ocho:8 nueve:9 diez:10 once:11 doce:12 "+
		"trece:13 catorce:14 quince:15 diecisiete:17 dieciocho:18 diecinueve:19 veinte:20 veintiuno:21 veintidos:22 "+
		"veintitres:23 veinticuatro:24 veinticinco:25 veintiseis:26 veintisiete:27 veintiocho:28 veintinueve:29 treinta:30 cuarenta:40 cincuenta:50 "+
		"sesenta:60 setenta:70 ochenta:80 noventa:90 cien:100 ciento:100 doscientos:200 trescientos:300 cuatrocientos:400 quinientos:500 seiscientos:600 "+
		"setecientos:700 ochocientos:800 novecientos:900"),
	numbered("en", Part, "half:2 halves:2 quarter:4 quarters:4 fourth:4 fourths:4 eighth:8 eighths:8 eights:8 eigth:8 eigths:8 eighthes:8 sixteenth:16 "+
		"sixteenths:16 sixteens:16 thirtysecond:32 thirtyseconds:32 sixtyfourth:64 sixtyfourths:64 thirty_second:32 thirty_seconds:32 sixty_fourth:64 sixty_fourths:64 third:3 thirds:3 fifth:5 fifths:5 sixth:6 sixths:6 seventh:7 sevenths:7 ninth:9 ninths:9 tenth:10 tenths:10 twelfth:12 twelfths:12"),
	numbered("es", Part, "medio:2 media:2 medios:2 cuarto:4 cuartos:4 octavo:8 octavos:8 dieciseisavo:16 dieciseisavos:16 dieciseis:16 "+
		"dieciseiavo:16 dieciseiavos:16 treintaidosavo:32 treintaidosavos:32 treintaydosavo:32 treintaydosavos:32 sesentaicuatroavo:64 sesentaicuatroavos:64 "+
		"tercio:3 tercios:3 quinto:5 quintos:5 sexto:6 sextos:6 septimo:7 septimos:7 noveno:9 novenos:9 decimo:10 decimos:10"),
	list("en", Article, "a an"),
	list("es", Article, "un una"),
	list("en", HighWord, "high above over proud hi higher"),
	list("es", HighWord, "alto alta altos encima arriba_de arriba_del mas_alto mas_alta demasiado_alto"),
	list("en", LowWord, "low below under lo"),
	list("es", LowWord, "bajo debajo bajos abajo_de abajo_del mas_bajo demasiado_bajo"),
	list("en", RaiseWord, "raise fill come_up bring_up shim_up build_up pack_up go_up raise_it raise_it_up bring_it_up shim_it_up build_it_up pack_it_up up_it be_raised needs_raising shim"),
	list("es", RaiseWord, "subele subelo subela subir subirlo subirle subirla levantar levantarlo levanta levantale levantalo rellenar rellena calzar calza calzalo"),
	list("en", CutWord, "cut grind come_down bring_down take_down go_down cut_down take_off shave knock_down lower_it bring_it_down take_it_down grind_it_down cut_it_down knock_it_down grind_down be_lowered needs_lowering"),
	list("es", CutWord, "cortar corta cortale esmerilar esmerila rebajar rebaja rebajale rebajalo bajar bajarlo bajarle bajarla bajale bajalo bajala quitarle quitale"),
	list("en", EitherWord, "up down lower lowered raised comes_up goes_up comes_down goes_down"),
	list("es", EitherWord, "baja sube arriba abajo mas_arriba mas_abajo mas_baja"),
	list("en", OnWord, "on level on_grade at_grade dead_on right_on spot_on even flush on_the_money on_the_mark on_it dead_level on_level bang_on on_the_button on_the_dot on_the_nose"),
	list("es", OnWord, "a_nivel nivel en_nivel al_nivel nivelado parejo en_su_nivel al_ras exacto"),
	list("en", MinusWord, "minus negative neg"),
	list("es", MinusWord, "menos negativo"),
	list("en", PlusWord, "plus positive"),
	list("es", PlusWord, "mas positivo"),
	list("en", HeavyWord, "heavy strong full fat"),
	list("es", HeavyWord, "fuerte"),
	list("en", ShyWord, "shy light scant weak"),
	list("es", ShyWord, "escaso debil"),
	units(reduce.Inch, "en", "inch inches ins inche"), units(reduce.Inch, "", "in \""),
	units(reduce.Inch, "es", "pulgada pulgadas pulg plg"),
	units(reduce.Foot, "en", "foot feet"), units(reduce.Foot, "", "ft '"), units(reduce.Foot, "es", "pie pies"),
	units(reduce.Millimetre, "", "mm"), units(reduce.Millimetre, "en", "mil mils millimeter millimeters millimetre millimetres"),
	units(reduce.Millimetre, "es", "milimetro milimetros"),
	units(reduce.Centimetre, "", "cm"), units(reduce.Centimetre, "en", "centimeter centimeters centimetre centimetres"),
	units(reduce.Centimetre, "es", "centimetro centimetros"),
	units(reduce.Metre, "", "m"), units(reduce.Metre, "en", "meter meters metre metres"), units(reduce.Metre, "es", "metro metros"),
	list("", CornerWord, "c"), list("en", CornerWord, "corner see sea cee cor cnr"), list("es", CornerWord, "esquina"),
	list("", PierWord, "p"), list("en", PierWord, "pier pad post column"), list("es", PierWord, "pilar zapata pilote columna poste"),
	list("", BenchWord, "bm"), list("en", BenchWord, "benchmark bench_mark"), list("es", BenchWord, "banco banco_de_nivel"),
	list("", TurnWord, "t"), list("en", TurnWord, "turning_point"), list("es", TurnWord, "punto_de_cambio"),
	numbered("en", HalfWord, "top:1 bottom:2"), numbered("es", HalfWord, "superior:1 inferior:2"),
	list("en", PastWord, "past beyond"), list("es", PastWord, "pasado pasando despues_de"),
	list("", AndWord, "&"), list("en", AndWord, "and n"), list("es", AndWord, "y con"),
	list("en", Filler, "is at its it's it that that's too grade i sits sitting we are reads reading read shows says was of the to be by has i've we've got i'm we're still rod here station spot this this_one that_one"),
	list("es", Filler, "es esta en la el de del lee marca por hay que tiene regla aqui punto va"),
	list("en", Not, "not isn't isnt aren't ain't wasn't never"), list("", Not, "no"),
	list("en", Need, "needs need must should needs_to has_to have_to want wants"),
	list("es", Need, "necesita debe hay_que tiene_que quiere"),
	list("en", Good, "good ok okay fine great perfect"), list("es", Good, "bien vale bueno buena perfecto"),
	list("en", Vague, "about maybe hair approx approximately almost roughly around ish nearly guess probably tad smidge bit little slightly touch just somewhat kinda kind_of barely think looks seems feels or_so give_or_take more_or_less"),
	list("es", Vague, "pelo casi como quizas quiza aproximadamente tantito poquito poco un_poco algo apenas ligeramente creo parece mas_o_menos medio_bajo medio_alto medio_baja medio_alta"),
)

// Words is the table, for keyboards and grammars.
func Words() []Word { return slices.Clone(words) }

// wordPhrase is an entry of several words.
type wordPhrase struct {
	Word
	parts []string
}

// wordIndex finds a word's entry; wordPhrases finds the entries of several
// words by their first one, longest first.
var (
	wordIndex   = map[string]Word{}
	wordPhrases = map[string][]wordPhrase{}
)

func init() {
	for _, w := range words {
		if parts := strings.Fields(w.Text); len(parts) > 1 {
			wordPhrases[parts[0]] = append(wordPhrases[parts[0]], wordPhrase{w, parts})
		} else if _, twice := wordIndex[w.Text]; twice {
			panic("phrase: " + w.Text + " stands twice in the table of words")
		} else {
			wordIndex[w.Text] = w
		}
	}
	for _, list := range wordPhrases {
		slices.SortStableFunc(list, func(a, b wordPhrase) int { return len(b.parts) - len(a.parts) })
	}
}

// textOf is the table's first word of a class in a language: the one that the
// bot itself says.
func textOf(lang string, c Class) string {
	for _, w := range words {
		if w.Class == c && w.Lang == lang {
			return w.Text
		}
	}
	return ""
}

// SayAmount is an amount as it is said, and read again: "1/4 heavy",
// "1/4 escaso". The unit is left to the caller.
func SayAmount(lang string, _ reduce.Unit, a reduce.Amount) string {
	if lang != "es" {
		lang = "en"
	}
	switch {
	case a.Shade > 0:
		return a.Figure + " " + textOf(lang, HeavyWord)
	case a.Shade < 0:
		return a.Figure + " " + textOf(lang, ShyWord)
	}
	return a.Figure
}

// SideWords are the words for high and low in a language, as the bot says
// them.
func SideWords(lang string) (high, low string) {
	if lang != "es" {
		lang = "en"
	}
	return textOf(lang, HighWord), textOf(lang, LowWord)
}
