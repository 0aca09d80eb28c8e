package phrase

import (
	"strconv"
	"strings"
)

// every reads after how many stations or minutes something is asked for: 12,
// 12 stations, 20 min, no.
func every(text string) (EveryArg, bool) {
	if _, off := oneOf(text, "no:no never off nunca nada"); off {
		return EveryArg{}, true
	}
	f := strings.Fields(text)
	if len(f) == 1 {
		if n, ok := strings.CutSuffix(f[0], "min"); ok {
			f = []string{n, "min"}
		} else {
			f = append(f, "stations")
		}
	}
	if len(f) != 2 {
		return EveryArg{}, false
	}
	n, err := strconv.Atoi(f[0])
	unit, ok := oneOf(f[1], "stations:stations station readings puntos punto lecturas", "min:min mins minutes minute minutos minuto")
	switch {
	case err != nil || !ok || n < 1 || n > 999:
		return EveryArg{}, false
	case unit == "min":
		return EveryArg{Minutes: n}, true
	}
	return EveryArg{Stations: n}, true
}
