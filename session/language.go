package session

import (
	"cmp"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// learnLanguage follows the person's language. Words for what the rod shows
// ("un octavo bajo") say it plainly. A command's word says it only to whoever
// has not chosen yet: commands of both languages are on everybody's lips, and
// those behind a slash are English for all.
func (h *hearing) learnLanguage(line string, m phrase.Meaning) {
	if m.Lang == "" || h.m.Kind == Tapped || h.heard != nil || m.Lang == "en" && strings.HasPrefix(strings.TrimSpace(line), "/") {
		return
	}
	reads := m.Kind == phrase.Reading && m.Value != 0 || m.Kind == phrase.Ask && ofAmounts[m.Why.Code] && m.Command == ""
	if reads || m.Kind == phrase.Command && !h.c.Chosen {
		if h.begun {
			h.c.Lang, h.c.Chosen = m.Lang, true // from the next message on
			return
		}
		h.speak(m.Lang)
	}
}

// speak is the language that the person speaks from now on.
func (h *hearing) speak(lang string) {
	h.c.Lang, h.c.Chosen, h.person = lang, true, lang
	h.tune()
}

// AnswerLang is the language that a message is answered in, "en" or "es": in a
// private chat the person's, in a group the job's, which all see. person and job
// may be "", where it is not known.
func AnswerLang(private bool, person, job string) string {
	if !private && job != "" {
		person = job
	}
	if person == "es" {
		return person
	}
	return "en"
}

// tune finds out which language to answer in. What a person says is understood
// in both, and in a group changes the language of nobody else.
func (h *hearing) tune() {
	job := ""
	if h.job != nil {
		job = h.job.Lang
	}
	h.lang = AnswerLang(h.m.Private, h.person, job)
}

// language is the language to be answered in: in a group that of the job, which
// is for those to change who may lead.
func (h *hearing) language(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.Text)
	if !ok {
		return h.refuse(m)
	}
	lang := string(arg)
	if h.m.Private || h.job == nil {
		h.speak(lang)
		return answer{lines: []string{h.say("language")}, next: true}
	}
	if h.job.Lang != lang || h.m.Kind == Edited { // an edit has put back what was before
		if !h.mayLead() {
			a := h.notLead()
			if h.m.Rights != RightsUnknown {
				a.lines = []string{h.say("language.lead", h.say(Key("setting.language."+h.lang)))}
			}
			return a
		}
		h.emit(LanguageSet{Lang: lang})
	}
	h.speak(lang)
	return answer{lines: []string{h.say("language.job")}, next: true}
}

// metricExamples are the commands' examples with amounts in them, in
// millimetres, English and Spanish.
var metricExamples = map[phrase.CommandName][2]string{
	phrase.CmdTolerance: {"tolerance 3 mm", "tolerancia 3 mm"}, phrase.CmdCheck: {"check c3 -6", "revisa c3 -6"},
	phrase.CmdSpacing: {"spacing 2", "separación 2"}, phrase.CmdLoop: {"loop garage 7x6 at 12,0", "anillo cochera 7x6 en 12,0"},
	phrase.CmdOutline: {"12x8 m", "12x8 m"}, phrase.CmdPiers: {"piers 3,4 6,4", "pilares 3,4 6,4"}, phrase.CmdBearing: {"bearing 400", "apoyos 400"},
	phrase.CmdBoltPlaces: {"bolts every 1.8", "pernos cada 1.8"}, phrase.CmdPosts: {"posts c2+3", "postes c2+3"},
	phrase.CmdSplices: {"splices c1+5", "empalmes c1+5"}, phrase.CmdBend: {"bend 2 mm in 3 m", "flexión 2 mm en 3 m"},
	phrase.CmdGrindMost: {"grind at most 3", "esmerilar máximo 3"}, phrase.CmdShimMost: {"shim at most 25", "calzar máximo 25"},
	phrase.CmdStock: {"stock 1 x20, 2 x40, 5", "existencias 1 x20, 2 x40, 5"}, phrase.CmdGrout: {"grout 14 l", "mortero 14 l"},
	phrase.CmdPlateWidth: {"plate width 140", "ancho de solera 140"}, phrase.CmdShimmed: {"shimmed c3+2", "calzado c3+2"},
	phrase.CmdKnown: {"known bm 29.23 m", "conocido bm 29.23 m"}, phrase.CmdBudget: {"budget receiver 1 mm", "presupuesto receptor 1 mm"},
	phrase.CmdLaser: {"laser 6,4", "láser en 6,4"}, phrase.CmdPlate: {"plate 38 mm", "solera 38 mm"},
	phrase.CmdStep: {"step c5 c8 200 mm lower", "escalón c5 c8 200 mm más bajo"}, phrase.CmdFall: {"fall c3 c4 10 mm per m", "caída c3 c4 10 mm por m"},
}

// phraseExamples are the examples that phrase gives.
var phraseExamples = func() map[phrase.CommandName]string {
	out := map[phrase.CommandName]string{}
	for _, c := range phrase.Commands() {
		out[c.Name] = c.Example
	}
	return out
}()

// finestExamples are finest amounts, by unit.
var finestExamples = map[reduce.Unit]string{reduce.UnitInch: "1/32", reduce.UnitFoot: "0.01", reduce.UnitMillimetre: "0.1"}

// example is an example of the command in a line, in the language and the unit
// at hand; "" where the one that phrase gives serves.
func (h *hearing) example(m phrase.Meaning) string {
	own := h.exampleOf(m)
	if h.job == nil || h.job.Outline.Empty() || !onWalls[m.Command] {
		return own
	}
	return h.onOutline(cmp.Or(own, phraseExamples[m.Command]))
}

// exampleFor is an example of a command that works here.
func (h *hearing) exampleFor(m phrase.Meaning) string {
	return cmp.Or(h.example(m), phraseExamples[m.Command])
}

// onWalls are the commands whose examples name spots that an outline may lack.
var onWalls = map[phrase.CommandName]bool{
	phrase.CmdStep: true, phrase.CmdFall: true, phrase.CmdPosts: true, phrase.CmdSplices: true, phrase.CmdBoltPlaces: true,
	phrase.CmdNote: true,
}

// spotRE is a spot of a wall in an example.
var spotRE = regexp.MustCompile(`\bc([0-9]+)(\+[0-9]+)?`)

// onOutline puts spots that the job's outline has in the place of those of an
// example that it lacks: corners from c2 on, and marks in the middle of a wall.
func (h *hearing) onOutline(example string) string {
	corners := h.job.Outline.Corners()
	lacks := slices.ContainsFunc(spotRE.FindAllStringSubmatch(example, -1), func(g []string) bool {
		n, _ := strconv.Atoi(g[1])
		return n > corners
	})
	corner := 1
	return spotRE.ReplaceAllStringFunc(example, func(said string) string {
		g := spotRE.FindStringSubmatch(said)
		n, _ := strconv.Atoi(g[1])
		if lacks {
			corner = corner%corners + 1
			n = corner
		}
		if g[2] == "" {
			return h.name(reduce.Corner(n))
		}
		past, _ := strconv.Atoi(g[2])
		mark := h.job.Mark()
		wall, _ := h.job.Outline.WallLength(n)
		if reduce.Length(past)*mark >= wall {
			past = int(wall / 2 / mark)
		}
		return h.name(reduce.Along(n, reduce.Length(past)*mark))
	})
}

// exampleOf is example on any outline.
func (h *hearing) exampleOf(m phrase.Meaning) string {
	name := m.Command
	if head, _, _ := strings.Cut(strings.ToLower(m.Said), " "); name == phrase.CmdUnits && h.job != nil && (head == "finest" || head == "fino") {
		return head + " " + finestExamples[h.job.Unit]
	}
	if name == phrase.CmdShimmed && h.job != nil && !h.job.Outline.Empty() {
		return h.shimmedExample()
	}
	if own, ok := metricExamples[name]; ok && h.job != nil && h.job.Unit == reduce.UnitMillimetre {
		if h.lang == "es" {
			return own[1]
		}
		return own[0]
	}
	if h.lang == "es" {
		return examples[name]
	}
	return ""
}

// examples are the commands' examples in Spanish, where those that phrase
// gives have words in them.
var examples = map[phrase.CommandName]string{
	phrase.CmdNew: "nuevo Casa este", phrase.CmdPiers: "pilares 10,14 20,14", phrase.CmdRod: "regla directa",
	phrase.CmdUnits: "unidades pulgadas", phrase.CmdCheck: "revisa c3 -1/4", phrase.CmdDatum: "datum alto",
	phrase.CmdTolerance: "tolerancia 1/8", phrase.CmdLoop: "anillo cochera 24x22 en 40,0", phrase.CmdSpacing: "separación 6",
	phrase.CmdJobs: "obra Casa este", phrase.CmdReference: "referencia c2", phrase.CmdNoBeam: "sin rayo c3+8",
	phrase.CmdCheckEvery: "revisa cada 12", phrase.CmdBreak: "descanso",
	phrase.CmdBearing: "apoyos 16", phrase.CmdBoltPlaces: "pernos cada 6", phrase.CmdPosts: "postes c2+8",
	phrase.CmdSplices: "empalmes c1+16", phrase.CmdBend: "flexión 1/16 en 8 pies",
	phrase.CmdGrindCost: "esmerilar cuesta 4", phrase.CmdGrindMost: "esmerilar máximo 1/8", phrase.CmdShimMost: "calzar máximo 1",
	phrase.CmdStock: "existencias 1/16 x20, 1/8 x40, 1/4", phrase.CmdShimmed: "calzado c3+8", phrase.CmdShimFrom: "calzar desde c3",
	phrase.CmdStackMost: "apilar máximo 4", phrase.CmdSpares: "repuestos 10", phrase.CmdGrout: "mortero 0.4 pies3",
	phrase.CmdPlateWidth: "ancho de solera 5 1/2", phrase.CmdShims: "calzas c3",
	phrase.CmdStep: "escalón c5 c8 8 pulg más bajo", phrase.CmdFall: "caída c3 c4 1/8 por pie",
	phrase.CmdSurface: "superficie concreto", phrase.CmdBolts: "pernos apretados", phrase.CmdLanguage: "español", phrase.CmdCount: "contar en dieciseisavos",
	phrase.CmdKnown: "conocido bm 100 pies", phrase.CmdBudget: "presupuesto receptor 1/32", phrase.CmdLaser: "láser en 20,14",
	phrase.CmdPlate: "solera 1 1/2", phrase.CmdWeights: "pesos posiciones",
	phrase.CmdNote: "apunte c3 se abrió la cimbra",
}
