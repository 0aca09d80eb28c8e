package phrase_test

import (
	"fmt"
	"testing"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// TestDesignArgs: what a step and a fall come to, in millimetres.
func TestDesignArgs(t *testing.T) {
	c := yard(t, reduce.Direct, reduce.UnitInch)
	for said, want := range map[string]string{
		"step c5 c8 8 in lower":                   "c5 c8 -203.2",
		"step c2 c3 8 higher":                     "c2 c3 203.2",
		"step c2 to c3 down 8 3/8":                "c2 c3 -212.725",
		"step down 1 1/2 in from c2 to c3":        "c2 c3 -38.1",
		"step c3+8 2 in lower":                    "c3+8 c3+8 -50.8",
		"step c2+28 2 in lower":                   "c3 c3 -50.8",
		"step p1 4 in lower":                      "p1 p1 -101.6",
		"step c2 c3 one and a half inches higher": "c2 c3 38.1",
		"step house 8 in lower":                   "c1  -203.2 house",
		"step c2 c3 level":                        "c2 c3 0",
		"step c2 c3 0":                            "c2 c3 0",
		"step c2 c3 none":                         "c2 c3 0 clear",
		"step none":                               "  0 clear",
		"escalón de c2 a c3 baja 20 cm":           "c2 c3 -200",
		"step c2 c3 0.5 ft lower":                 "c2 c3 -152.4",
		"fall c3 c4 1/8 per ft":                   "c3 c4 -3.175 per 304.8",
		"fall from c4 to c3 1 in 10 ft":           "c4 c3 -25.4 per 3048",
		"fall to c4 from c3 1 in per 10'":         "c3 c4 -25.4 per 3048",
		"fall c3 c4 2 %":                          "c3 c4 -2 per 100",
		"fall c3 c4 1.5 percent":                  "c3 c4 -1.5 per 100",
		"fall c3 c4 10 mm per m":                  "c3 c4 -10 per 1000",
		"fall c3 c4 1/8 / ft":                     "c3 c4 -3.175 per 304.8",
		"pendiente de c3 a c4 3 mm por 2 m":       "c3 c4 -3 per 2000",
		"fall c3 c4 0 per ft":                     "c3 c4 0 per 304.8",
		"fall c3 c4 none":                         "c3 c4 0 clear",
	} {
		m := phrase.Parse(c, said)
		arg, ok := m.Arg.(phrase.DesignArg)
		if m.Kind != phrase.Command || !ok {
			t.Errorf("%q: %v %v", said, phrase.KindName(m), m.Why)
			continue
		}
		got := fmt.Sprintf("%s %s %s", arg.From.Name(reduce.Foot), arg.To.Name(reduce.Foot), arg.Rise)
		if arg.Run != 0 {
			got += " per " + arg.Run.String()
		}
		if arg.Loop != "" {
			got += " " + arg.Loop
		}
		if arg.Clear {
			got += " clear"
		}
		if got != want {
			t.Errorf("%q: %s, want %s", said, got, want)
		}
	}
	metric := yard(t, reduce.Direct, reduce.UnitMillimetre)
	if arg, _ := phrase.Parse(metric, "step c2 c3 200 lower").Arg.(phrase.DesignArg); arg.Rise != -200*reduce.Millimetre {
		t.Errorf("200 in a metric job is %v", arg.Rise)
	}
	if arg, _ := phrase.Parse(c, "step tolerance 1/4").Arg.(phrase.StepToleranceArg); arg.Length != reduce.Inch/4 {
		t.Errorf("a tolerance of %v", arg.Length)
	}
}
