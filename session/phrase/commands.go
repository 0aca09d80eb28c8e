package phrase

import (
	"slices"
	"strings"
)

// CommandInfo is a command: its words, and an example of it that works.
type CommandInfo struct {
	Name CommandName
	// English and Spanish are the ways to say it, in folded spelling. A way
	// that ends in " …" takes what follows as its argument.
	English, Spanish []string
	Example          string
}

func ways(s string) []string {
	if s == "" {
		return nil
	}
	return strings.Split(s, "|")
}

// commandTable is the one table of the words of commands. Of two ways that
// fit, the longer one counts.
var commandTable = []CommandInfo{
	{CmdUndo, ways("undo|take that back|take it back|scratch that|oops|undo that|undo it|undo last|undo the last one|undo that last one|undo that one|take the last one back|scratch the last one|" +
		"cancel that|cancel it|delete that|delete it|delete last|delete the last one|remove that|remove last|remove the last one|erase that|erase it|strike that|that was wrong|that's wrong|that is wrong|my mistake|my bad"),
		ways("borra|borrar|deshacer|deshaz|quita eso|borra eso|borralo|borra la ultima|borra el ultimo|borra lo ultimo|quita la ultima|quita el ultimo|quitalo|deshaz eso|deshazlo|cancela|cancelalo|me equivoque|estaba mal|eso estaba mal"), "undo"},
	{CmdSkip, ways("skip|skip it|skip that|skip this one|skip this|skip that one|skip for now|skip it for now|pass|next one|can't reach it|can't reach that one|can't get to it|can't get it|cannot reach it"), ways("salta|saltar|saltalo|saltatelo|salta este|salta esta|salta ese|salta esa|brinca|brincalo|brincatelo|paso|omitir|omite|omitelo|no alcanzo|no llego"), "skip"},
	{CmdLeft, ways("left|what's left|whats left|what is left|what's left to do|what's left to shoot|what's left to read|remaining|what's remaining|what is remaining|how many are left|how many to go|what do i have left|what do we have left|what am i missing|what are we missing|whats missing|what's missing|how many left|how many more"),
		ways("falta|que falta|que me falta|que nos falta|que queda|cuantos quedan|cuantos me faltan|faltan|cuantos faltan|cuanto falta|cuales faltan"), "left"},
	{CmdMore, ways("more|more …|more values|more keys|other values"), ways("otros|otros …|otros valores|otro valor|mas valores"), "more 1 low"},
	{CmdPicture, ways("picture|pic|drawing|sketch|show me the picture|show picture|show me|send picture|send me the picture|the picture|draw it|plan|map|photo"),
		ways("dibujo|plano|imagen|croquis|muestra el dibujo|manda el dibujo|foto|muestrame el dibujo"), "picture"},
	{CmdOriginal, ways("original|original file|file|the file|send the file|picture file|full size|as a file"),
		ways("original|archivo|el archivo|manda el archivo|archivo original|como archivo"), "original"},
	{CmdSummary, ways("summary|sum up|sum it up|how are we doing|how are we looking|results|report|how does it look|total"), ways("resumen|resultado|resultados|reporte"), "summary"},
	{CmdShims, ways("shims|shim plan|shim list|how many shims|what shims|what shims do i need|what shims do we need|which shims|shims …|shim list …"), ways("calzas|plan de calzas|lista de calzas|cunas|cuantas calzas|que calzas|que calzas necesito|calzas …|lista de calzas …"), "shims"},
	{CmdBumped, slices.Concat(ways("bumped"), bumpedEnglish()), slices.Concat(ways("golpeado|movieron el laser sin querer"), bumpedSpanish()), "bumped"},
	{CmdMoved, ways("moved|moved laser|moved the tripod|tripod moved|the tripod moved|laser is in a new spot|the laser is in a new spot|set up again|new spot for the laser|moved the laser|i moved the laser|laser moved|we moved the laser|the laser moved|new setup|new set-up|new set up|laser is moved"),
		ways("movido|movi el laser|movi el tripie|movi el tripode|movimos el tripie|movimos el tripode|cambie el laser de lugar|cambiamos el laser de lugar|movimos el laser|laser movido|nueva posicion|movieron el laser"), "moved"},
	{CmdHelp, ways("help|help me|what can i say|what can i do|how do i use this|what can you do|how does this work|commands|start|begin|hello|hello there|hi there|hi|good morning|good afternoon|?|menu|help …|help with …"), ways("ayuda|ayuda …|ayuda con …|ayudame|que puedo decir|que puedo hacer|que puedes hacer|comandos|como funciona|que sabes hacer|hola|hola buenas|buenas|buenos dias|buenas tardes|buenas noches|empezar|comenzar|empieza|comienza|inicio"), "help"},
	{CmdDone, ways("done|finished|all done|that's it|thats it|that's all|end round|end|i'm done|i am done|we are done|that's everything|that's the last one|that was the last one|done with this round|we're done|finish"),
		ways("listo|hecho|ya hecho|terminado|termine|ya|acabe|ya terminamos|acabamos|ya acabamos|ya quedo|eso es todo|es todo|ya es todo|terminamos|fin|ya acabe|terminar|acabar|finalizar|ya esta|ya termine"), "done"},
	{CmdRepeat, ways("repeat|repeat that|repeat it|say again|say it again|where was i|where were we|which one is next|what is next|again|what|what now|say that again|come again|where am i|which one|what's next|whats next|next"),
		ways("repite|repitelo|repite eso|otra vez|otra vez por favor|en donde voy|repetir|como|cual sigue|que sigue|donde voy|cual"), "repeat"},
	{CmdNew, ways("new …|new job …|open job …|open …"), ways("nuevo …|nueva …|nueva obra …|nuevo trabajo …|abre …|obra nueva …|trabajo nuevo …"), "new East house"},
	{CmdOutline, ways("walls …|outline …"), ways("muros …|contorno …|paredes …"), "40x28"},
	{CmdPiers, ways("piers …|pads …|pier at …|piers at …"), ways("pilares …|zapatas …"), "piers 10,14 20,14"},
	{CmdRod, ways("rod …|direct rod|standard rod|direct|standard|my rod is …|it's a direct rod|it's a standard rod"),
		ways("regla …|regla directa|regla estandar|directa|estandar|regla normal|mira …"), "direct rod"},
	{CmdUnits, ways("units …|unit …|finest …|use …|inches|feet|millimeters|millimetres|meters|metres|metric"), ways("unidades …|unidad …|pulgadas|pies|milimetros|metros|metrico|fino …"), "units in"},
	{CmdCheck, ways("check …|recheck …|check shot …|double check …"), ways("revisa …|checa …|verifica …|comprueba …|revisar …"), "check c3 -1/4"},
	{CmdCheckEvery, ways("check every …|checks every …|check shot every …|check shots every …"), ways("revisa cada …|revisar cada …|revision cada …|checa cada …"), "check every 12"},
	{CmdBreak, ways("break|lunch break|taking a break|take a break|going to lunch|on break|break time"), ways("descanso|a descansar|almuerzo|a comer|vamos a comer|hora de comer|pausa"), "break"},
	{CmdDatum, ways("datum …|use the high spot|high spot|use the first station|fewest spots|least work|build to …|level to …|no datum"),
		ways("nivel de referencia …|al punto alto|punto alto|menos puntos|menos trabajo|nivel menos puntos|nivel menos trabajo|nivel alto|nivel primero|nivel al primero|nivel al punto alto|dato …|datum …|construir a …"), "datum high"},
	{CmdTolerance, ways("tolerance …|tol …|tolerance is …"), ways("tolerancia …"), "tolerance 1/8"},
	{CmdStep, ways("step …"), ways("escalon …"), "step c5 c8 8 in lower"},
	{CmdFall, ways("fall …"), ways("caida …|pendiente …"), "fall c3 c4 1/8 per ft"},
	{CmdStock, ways("stock|stock …|shims on hand …|we have shims …"), ways("existencias|existencias …|hay calzas …"), "stock 1/16 x20, 1/8 x40, 1/4"},
	{CmdShimFrom, ways("shim|start shimming|shim it|let's shim|shim from …|shim at …|start shimming at …"), ways("calzar|a calzar|empezar a calzar|empieza a calzar|calzar desde …|calzar en …"), "shim from c3"},
	{CmdShimmed, ways("shimmed …|shimmed|took out …|take out …|taken out …|pulled out …|unshim …|unshimmed …"),
		ways("calzado …|calzado|calzada …|calzada|calce …|ya calce …|saque …|sacamos …|quita calzas …|quite calzas …|quitar calzas …|quitamos calzas …|sin calzas …"), "shimmed c3+8"},
	{CmdRound, ways("next round|new round|second walk|second round"), ways("siguiente vuelta|otra vuelta|segunda vuelta"), "next round"},
	{CmdSign, ways("sign|sign off|sign it|signed"), ways("firmar|firma|firmo"), "sign"},
	{CmdKnown, ways("known …"), ways("conocido …"), "known bm 29.23 m"},
	{CmdLoop, ways("loop …"), ways("anillo …|bucle …"), "loop garage 24x22 at 40,0"},
	{CmdSpacing, ways("spacing …|space …|marks every …"), ways("separacion …|espaciado …|espacio …|marcas cada …|cada …"), "spacing 6"},
	{CmdJobs, ways("jobs|list jobs|what jobs|job …|back to …|go to job …|which jobs"), ways("obras|trabajos|obra …|trabajo …|lista de obras|que obras"), "job East house"},

	{CmdReference, ways("reference …|ref …|reference is …"), ways("referencia …"), "reference c2"},
	{CmdOtherWay, ways("other way|the other way|other way round|other way around|other direction|reverse|going the other way|go the other way"),
		ways("otro lado|el otro lado|por otro lado|al reves|por el otro lado|al otro lado|otra direccion|inversa|a la inversa|inverso|al contrario"), "other way"},
	{CmdNoBeam, ways("no beam|no beam …|no beam at …|no laser|no laser at …|can't see the laser|cannot see the laser|no signal|no signal at …|blocked"),
		ways("sin rayo|sin rayo …|sin laser|sin laser …|no llega el rayo|no llega el rayo …|no hay rayo|no hay laser|sin senal"), "no beam c3+8"},
	{CmdSurface, ways("surface …|on concrete|on shims|on plate|on the plate"), ways("superficie …|sobre concreto|sobre el concreto|sobre calzas|sobre las calzas|sobre solera|sobre la solera"), "surface concrete"},
	{CmdBolts, ways("bolts …|bolts are …"), ways("pernos …|anclas …"), "bolts tight"},
	{CmdWeights, ways("weights …"), ways("pesos …"), "weights setups"},
	{CmdLaser, ways("laser …|laser at …"), ways("laser en …"), "laser 20,14"},
	{CmdBudget, ways("budget|error budget|budget …"), ways("presupuesto|presupuesto de error|presupuesto …"), "budget receiver 1/32"},
	{CmdQuality, ways("quality|how good is it|how good are the readings|how sure are we|misclosure"), ways("calidad|que tan bueno es|que tan seguro es|cierre"), "quality"},
	{CmdNotes, ways("notes|level notes|field notes|level book|the book"), ways("notas|libreta|libreta de nivelacion|notas de nivelacion"), "notes"},
	{CmdTestRod, ways("test rod|test the rod|rod test|test"), ways("probar regla|probar la regla|prueba la regla|prueba de la regla|prueba regla|prueba de regla|prueba"), "test rod"},
	{CmdFlipRod, ways("flip rod|count it so|flip the rod|rod is flipped|flipped"), ways("invertir regla|contarla asi|regla invertida"), "flip rod"},
	{CmdCheckLaser, ways("check laser|check the laser|laser check|is the laser right|is the laser level|test laser|test the laser"),
		ways("revisa el laser|revisar laser|revisar el laser|checa el laser|prueba el laser|probar laser|probar el laser|esta bien el laser"), "check laser"},
	{CmdTwoPegs, ways("two pegs|two peg test|two-peg test|peg test|2 pegs"), ways("dos estacas|prueba de dos estacas|prueba de estacas"), "two pegs"},
	{CmdHeadings, ways("four headings|4 headings|headings|four sides"), ways("cuatro lados|4 lados|cuatro rumbos"), "four headings"},
	{CmdHalfTurn, ways("half turn|half a turn|half-turn"), ways("media vuelta|medio giro"), "half turn"},
	{CmdReshoot, ways("re-shoot|reshoot|re shoot|re-shoots|draw lots|by lot"), ways("repetir puntos|por sorteo|sorteo"), "re-shoot"},
	{CmdTookOver, ways("took over|i took over|i took it over|i have the rod now|i took over the rod|took over the rod|i got the rod"),
		ways("la tome|la tome yo|yo tengo la regla|tome la regla|ahora la tengo yo"), "took over"},
	{CmdAnotherRod, ways("another rod|i hold another|second rod|i have another rod|other rod|my own rod|i have my own rod"),
		ways("otra regla|tengo otra|tengo otra regla|segunda regla|tengo la mia"), "another rod"},
	{CmdLanguage, ways("english|in english|language …"), ways("espanol|en espanol|idioma …"), "english"},
	{CmdNo, ways("no|nope|never mind|nevermind|leave it|forget it"), ways("no|nada|dejalo|olvidalo"), "no"},
	{CmdYes, ways("yes|yep|yeah|yup|right|correct|that's right|that is right|confirm|keep it|confirmed|yes to all|confirm all|all correct|yes …|confirm …"),
		ways("si|asi es|correcto|confirmo|confirmado|eso es|si a todo|confirmo todo|todo correcto|si …|confirmo …"), "yes"},
	{CmdCount, ways("count in …|count …|digits are …"), ways("contar en …|contar …|cuenta en …|cuenta …|los digitos son …"), "count in sixteenths"},
	{CmdNote, ways("note …|note: …|write down …"), ways("apunte …|apunta …|anota …|nota …|nota: …"), "note c3 form blew out"},
	{CmdKept, ways("kept|what was kept|what is kept|what's kept|what did we keep|photos|my notes|list notes|notes and photos|photos and notes"),
		ways("guardado|guardados|lo guardado|que se guardo|que hay guardado|apuntes|fotos|mis apuntes|apuntes y fotos|fotos y apuntes"), "kept"},
	{CmdAloud, ways("answer aloud|talk back|speak up|answer in text|no voice|stop talking"), ways("contesta en voz|responde en voz|habla|contesta por texto|sin voz|callate"), "answer aloud"},
	{CmdGrindCost, ways("grinding costs …|grinding cost …"), ways("esmerilar cuesta …|esmerilado cuesta …"), "grinding costs 4"},
	{CmdGrindMost, ways("grind at most …|grind no more than …|no grinding"), ways("esmerilar maximo …|esmerilar a lo mas …|sin esmerilar"), "grind at most 1/8"},
	{CmdShimMost, ways("shim at most …|shim no more than …|gap at most …"), ways("calzar maximo …|calzar a lo mas …"), "shim at most 1"},
	{CmdStackMost, ways("stack at most …|stack no more than …"), ways("apilar maximo …|apilar a lo mas …"), "stack at most 4"},
	{CmdChoices, ways("choices|levels|which level|what level|which datum"), ways("opciones|niveles|que nivel|cual nivel"), "choices"},
	{CmdPlate, ways("plate …|plate is …|plate thickness …"), ways("solera …|solera de …|grueso de solera …"), "plate 1 1/2"},
	{CmdStill, ways("laser not moved|not moved|laser is not moved|laser did not move|same place|laser in the same place|still in the same place"), ways("laser no movido|no movido|mismo lugar|el laser no se movio|laser en el mismo lugar"), "laser not moved"},
	{CmdPlateWidth, ways("plate width …|plate is wide …"), ways("ancho de solera …"), "plate width 5 1/2"},
	{CmdBearing, ways("bearing …|bearing every …|joists …|joists every …|studs …|studs every …"), ways("apoyos …|apoyos cada …|viguetas cada …|vigas cada …"), "bearing 16"},
	{CmdBoltPlaces, ways("bolts at …|bolts every …|no bolts|bolts none"), ways("pernos en …|pernos cada …|sin pernos|pernos ninguno"), "bolts every 6"},
	{CmdPosts, ways("posts …|post at …|posts at …|no posts"), ways("postes …|poste en …|postes en …|sin postes"), "posts c2+8"},
	{CmdSplices, ways("splices …|splice at …|splices at …|no splices"), ways("empalmes …|empalme en …|empalmes en …|sin empalmes"), "splices c1+16"},
	{CmdBend, ways("bend …|bend at most …"), ways("flexion …|flexion maxima …"), "bend 1/16 in 8 ft"},
	{CmdSpares, ways("spares …"), ways("de mas …|repuestos …|de repuesto …"), "spares 10"},
	{CmdGrout, ways("grout …|a bag makes …|dry pack …|dry-pack …"), ways("mortero …|lechada …|un saco rinde …|saco rinde …"), "grout 0.4 ft3"},
	{CmdPapers, ways("papers|the papers|pdf|send the pdf|paper"), ways("papeles|los papeles|manda el pdf|documentos"), "papers"},
	{CmdAsFound, ways("as found|as-found|as poured|as it was"), ways("como estaba|tal como estaba|como quedo"), "as found"},
}

// bumpedEnglish is who did what to the laser: they bumped the laser, the
// tripod got kicked.
func bumpedEnglish() []string {
	var out []string
	for _, thing := range []string{"laser", "tripod"} {
		for _, did := range []string{"bumped", "kicked", "hit", "knocked"} {
			for _, who := range []string{"", "i ", "we ", "they ", "he ", "somebody ", "someone "} {
				out = append(out, who+did+" the "+thing)
			}
			for _, the := range []string{"", "the "} {
				for _, got := range []string{" ", " got ", " was "} {
					out = append(out, the+thing+got+did)
				}
			}
		}
	}
	return out
}

// bumpedSpanish is the same: le pegaron al láser, golpearon el tripié.
func bumpedSpanish() []string {
	var out []string
	for _, thing := range []string{"laser", "tripie", "tripode"} {
		for _, did := range []string{"golpee el", "golpeamos el", "golpearon el", "patee el", "patearon el", "pegaron al",
			"le pegue al", "le pegamos al", "le pegaron al"} {
			out = append(out, did+" "+thing)
		}
		out = append(out, thing+" golpeado")
	}
	return out
}

// Commands is the table, for help, keyboards and grammars.
func Commands() []CommandInfo { return slices.Clone(commandTable) }

// way is one way to say a command.
type way struct {
	info *CommandInfo
	lang string
}

var (
	exactWays  = map[string]way{}
	prefixWays = map[string]way{} // without " …"
	maxWords   = 1

	// shimmedHeads are the first words of the ways to tell of shims.
	shimmedHeads = map[string]bool{}
)

func init() {
	for i := range commandTable {
		info := &commandTable[i]
		for lang, list := range map[string][]string{"en": info.English, "es": info.Spanish} {
			for _, text := range list {
				m := exactWays
				if head, takes := strings.CutSuffix(text, " …"); takes {
					m, text = prefixWays, head
					if first, _, _ := strings.Cut(head, " "); info.Name == CmdShimmed {
						shimmedHeads[first] = true
					}
				}
				if w, twice := m[text]; twice {
					if w.info != info {
						panic("phrase: " + text + " names two commands")
					}
					m[text] = way{info, ""}
					continue
				}
				m[text] = way{info, lang}
				maxWords = max(maxWords, len(strings.Fields(text)))
			}
		}
	}
}
