package session

import (
	"fmt"
	"strconv"
	"strings"

	"rodcall/reduce"
)

// Key names a text of the catalogue.
type Key string

// text is one entry: the same sentence in both languages. Gaps are {1}, {2} …
// in the order of Say's arguments; {1:reading|readings} picks by the number
// in gap 1.
type text struct{ en, es string }

// catalogue is every word that rodcall says. It is put together from the
// parts that stand beside the rooms they serve: one source for each sentence.
var catalogue = func() map[Key]text {
	all := map[Key]text{}
	for _, part := range []map[Key]text{
		talkTexts,
		chatTexts,
		whyTexts,
		helpTexts,
		doubtTexts,
		bumpTexts,
		laserTexts,
		endTexts,
		paperTexts,
		unitTexts,
		surveyTexts,
		papersTexts,
		matterTexts,
		choiceTexts,
		designTexts,
		bearingTexts,
		signTexts,
		nextTexts,
		roundTexts,
		shimTexts,
		countTexts,
		noteTexts,
		voiceTexts,
	} {
		for k, t := range part {
			if _, twice := all[k]; twice {
				panic("catalogue: " + k + " stands twice")
			}
			all[k] = t
		}
	}
	return all
}()

// Texts is the catalogue as it stands, English and Spanish, for what is checked
// of it from outside.
func Texts() map[Key][2]string {
	out := map[Key][2]string{}
	for k, t := range catalogue {
		out[k] = [2]string{t.en, t.es}
	}
	return out
}

// Say fills a text of the catalogue; lang is "es" for Spanish, else English.
func Say(lang string, key Key, args ...any) string {
	t, ok := catalogue[key]
	if !ok {
		return string(key)
	}
	s := t.en
	if lang == "es" {
		s = t.es
	}
	return fill(s, args)
}

func fill(s string, args []any) string {
	if !strings.Contains(s, "{") {
		return s
	}
	var b strings.Builder
	b.Grow(len(s) + 16*len(args))
	for {
		head, tail, found := strings.Cut(s, "{")
		b.WriteString(head)
		if !found {
			return b.String()
		}
		gap, rest, _ := strings.Cut(tail, "}")
		s = rest
		number, forms, plural := strings.Cut(gap, ":")
		i, err := strconv.Atoi(number)
		if err != nil || i < 1 || i > len(args) {
			b.WriteString("{" + gap + "}")
			continue
		}
		arg, text := args[i-1].(string)
		if !text {
			arg = fmt.Sprint(args[i-1])
		}
		if !plural {
			b.WriteString(arg)
			continue
		}
		one, many, _ := strings.Cut(forms, "|")
		if arg == "1" {
			b.WriteString(one)
		} else {
			b.WriteString(many)
		}
	}
}

// unitKey is a text in a job's unit.
type unitKey struct {
	key  Key
	unit reduce.Unit
}

// byUnit are the texts that a unit has of its own.
var byUnit = func() map[unitKey]Key {
	out := map[unitKey]Key{}
	for _, u := range []reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre} {
		for k := range catalogue {
			if base, ok := strings.CutSuffix(string(k), "."+u.String()); ok {
				out[unitKey{Key(base), u}] = k
			}
		}
	}
	return out
}()
