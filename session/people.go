package session

import (
	"slices"
	"strconv"
	"strings"
)

// A text that is kept, or waits to be sent, holds a person's number between
// these two in place of the name, which is put in when it is shown: so a person
// can be forgotten. They are private characters of Unicode.
const (
	personOpen  = "\uE0A0"
	personClose = "\uE0A1"
)

// person stands for a person's name in a text: see NamePeople.
func person(id PersonID) string {
	return personOpen + strconv.FormatInt(int64(id), 10) + personClose
}

// NamePeople puts names into a text: those of the given people, as known now;
// one who is unknown or forgotten is "somebody". Nobody else is named, whatever
// the text holds.
func NamePeople(lang, text string, people []PersonID, names func(PersonID) string) string {
	for _, id := range people {
		if mark := person(id); strings.Contains(text, mark) {
			name := shortName(names(id))
			if name == "" {
				name = Say(lang, "somebody")
			}
			text = strings.ReplaceAll(text, mark, name)
		}
	}
	return text
}

// People are those whom texts about the job may name: who holds or held a rod,
// read, signed, or kept something with a station. Ascending.
func (j *Job) People() []PersonID {
	seen := map[PersonID]bool{j.OpenedBy: true}
	for _, r := range j.Rods {
		seen[r.By] = true
	}
	for _, r := range j.hist.all() {
		seen[r.By] = true
	}
	for _, s := range j.Signatures() {
		seen[s.By], seen[s.Reopened.By] = true, true
	}
	for _, n := range j.Notes {
		seen[n.By] = true
	}
	var out []PersonID
	for id := range seen {
		if id != 0 {
			out = append(out, id)
		}
	}
	slices.Sort(out)
	return out
}
