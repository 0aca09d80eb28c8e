package phrase

// HelpTopic is a subject that help has a screen for.
type HelpTopic string

// The subjects.
const (
	HelpWalk    HelpTopic = "walk"
	HelpOutline HelpTopic = "outline"
	HelpRod     HelpTopic = "rod"
	HelpLevel   HelpTopic = "level"
	HelpShims   HelpTopic = "shims"
	HelpRounds  HelpTopic = "rounds"
	HelpSure    HelpTopic = "sure"
)

func (HelpTopic) arg() {}

// helpTopic reads a subject. Of what it does not know the walk's screen tells
// most.
func helpTopic(rest string) HelpTopic {
	t, ok := oneOf(rest,
		"outline:outline walls step steps fall falls garage contorno muros escalon escalones caida caidas cochera",
		"rod:rod laser regla",
		"level:level levels datum nivel niveles",
		"shims:shims shim stock plate calzas solera",
		"rounds:rounds round sign papers vueltas vuelta firma papeles",
		"sure:sure quality numbers calidad seguro numeros")
	if !ok {
		return HelpWalk
	}
	return HelpTopic(t)
}
