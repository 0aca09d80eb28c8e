package phrase

import (
	"slices"
	"strconv"
)

// numbers puts numbers together that were said in several words: one thousand
// four hundred and twelve, mil cuatrocientos doce, minus point five.
func numbers(items []item) []item {
	if !slices.ContainsFunc(items, func(it item) bool { return isPoint(it) || it.spelled && it.Num >= 100 || it.text == "mil" }) {
		return items
	}
	out := make([]item, 0, len(items))
	for i := 0; i < len(items); {
		if n := len(out); n > 0 && (stationWord(out[n-1]) || out[n-1].Class == PlusWord && n > 2 && stationWord(out[n-3])) && i+1 < len(items) && items[i+1].text == "mil" {
			out = append(out, items[i]) // esquina dos, mil cuatrocientos
			i++
			continue
		}
		if it, n := largeAt(items, i); n > 1 {
			out = append(out, it)
			i += n
			continue
		}
		it := items[i]
		if !isPoint(it) {
			out = append(out, it)
			i++
			continue
		}
		whole, lead := "0", len(out)
		if n := len(out); n > 0 && (out[n-1].spelled || out[n-1].Class == digits) && !(n > 1 && stationWord(out[n-2])) {
			if w, ok := out[n-1].number(); ok {
				whole, lead = strconv.FormatInt(w, 10), n-1
			}
		}
		places, n := placesAt(items, i+1)
		signed := len(out) > 0 && (out[len(out)-1].Class == MinusWord || out[len(out)-1].Class == PlusWord)
		if n == 0 || lead == len(out) && !signed && (it.text != "point" || !items[i+1].spelled) {
			out = append(out, it)
			i++
			continue
		}
		if lead == len(out) {
			whole = "" // nothing was said before the point
		}
		d := item{text: whole + "." + places, before: it.before, after: items[i+n].after}
		d.Class, d.Lang = digits, items[i+1].Lang
		if lead < len(out) {
			d.before = out[lead].before
		}
		out = append(out[:lead], d)
		i += n + 1
	}
	return out
}

// isPoint says that a word is a decimal point where numbers stand beside it.
func isPoint(it item) bool { return it.text == "point" || it.text == "punto" || it.text == "coma" }

func stationWord(it item) bool {
	return it.Class == CornerWord || it.Class == PierWord || it.Class == BenchWord || it.Class == TurnWord
}

// placesAt reads what stands behind a decimal point: three seven five, veinticinco,
// 375. n is how many items it takes.
func placesAt(items []item, i int) (places string, n int) {
	for ; i+n < len(items); n++ {
		it := items[i+n]
		v, ok := it.number()
		if it.text == "oh" {
			v, ok = 0, true
		}
		counted := i+n+1 < len(items) && items[i+n+1].Class == Part && ok && v != 0 && n > 0
		switch {
		case !ok || counted, it.Class == digits && n > 0, v > 9 && n > 0:
			return places, n
		case it.Class == digits || v > 9:
			if i+n+1 < len(items) && items[i+n+1].is("/") {
				return "", 0 // spot 3/8
			}
			if it.Class == digits {
				return it.text, 1
			}
			return strconv.FormatInt(v, 10), 1
		}
		places += strconv.FormatInt(v, 10)
	}
	return places, n
}

// largeAt reads a number of a hundred and more said in words; n is 1 or 0
// where there is none.
func largeAt(items []item, i int) (number item, n int) {
	total, cur, large := int64(0), int64(-1), false
	start := i
	for ; i < len(items); i++ {
		it := items[i]
		thousand := it.Class == Cardinal && it.Num == 1000 && it.spelled ||
			it.text == "mil" && i+1 < len(items) && items[i+1].spelled && items[i+1].Lang == "es" && items[i+1].Num > 0
		if large && it.text == "and" && i+1 < len(items) && items[i+1].spelled && items[i+1].Num < 100 && !counted(items, i+1) {
			continue
		}
		switch {
		case thousand && total == 0 && cur == 1 && it.text == "mil":
			return item{}, 0 // uno, mil cuatrocientos
		case thousand && total == 0:
			total, cur, large = max(cur, 1)*1000, 0, true
		case it.Class != Cardinal || !it.spelled || counted(items, i):
			return joinedNumber(items, start, i, total, cur, large)
		case it.text == "hundred" && cur < 100 && cur != 0:
			cur, large = max(cur, 1)*100, true
		case it.Num >= 100 && it.Num < 1000 && cur <= 0 && it.text != "hundred":
			cur, large = it.Num, true
		case it.Num < 100 && it.Num > 0 && (cur == -1 || large && cur%100 == 0):
			cur = max(cur, 0) + it.Num
		default:
			return joinedNumber(items, start, i, total, cur, large)
		}
	}
	return joinedNumber(items, start, i, total, cur, large)
}

func joinedNumber(items []item, start, end int, total, cur int64, large bool) (item, int) {
	if !large || end == start {
		return item{}, 0
	}
	it := items[start]
	it.Class, it.Num, it.spelled, it.Lang = Cardinal, total+max(cur, 0), true, items[end-1].Lang
	it.text, it.after = strconv.FormatInt(it.Num, 10), items[end-1].after
	return it, end - start
}

// counted says that the number at i counts the parts behind it: three eighths.
func counted(items []item, i int) bool {
	n, ok := items[i].number()
	return ok && i+1 < len(items) && counts(n, items[i+1])
}
