package main

import (
	"fmt"
	"strings"
)

// overview is the help of the program as a whole.
func overview() string {
	var b strings.Builder
	b.WriteString(`rodcall keeps the field book while a poured foundation is checked for level
with a laser and a rod: it takes what the rod shows, asks for the next station,
and draws how far each spot must come up or down.

usage: rodcall COMMAND [FLAGS] [ARGUMENTS]

commands:
`)
	for _, c := range commands() {
		fmt.Fprintf(&b, "  %-8s  %s\n", c.name, c.short)
	}
	b.WriteString(`
The help of one command: rodcall help parse
Exit status: 0 done, 1 it failed, 2 called wrongly.
`)
	return b.String()
}

const helpUsage = `usage: rodcall help [COMMAND]

Prints the list of commands, or the help of one.

example:
  rodcall help parse
`

const versionUsage = `usage: rodcall version

Prints the version of the program and of the Go that built it.

example:
  rodcall version
`

const parseUsage = `usage: rodcall parse [--job-outline OUTLINE] [FLAGS] < MESSAGES

Says what messages mean: reads one message a line from standard input and
prints one JSON object a line, in the same order. Nothing is stored.

flags:
  --job-outline OUTLINE  the walls, as a message would say them: 40x28, 12x8 m,
                         walls 40 left 28 left 40 left 28 (without it every
                         station exists)
  --rod direct|standard  how the rod counts (direct: zero in the middle)
  --unit in|ft|mm        what amounts are counted in (in)
  --asked STATION        the station that was asked for (c1, the walk's first)
  --pier p1              the job has this pier, and those of lower number;
                         several between commas, or the flag several times
  --count 8|16           digits alone count eighths or sixteenths of an inch

Each object holds
  said     the message
  meaning  reading, ask (it could mean several things), refuse or command
  station  the full name, the asked one where none was said, or null
  value    the rod's reading in millimetres as a decimal text, or null
  command  the command's name, or null
  why      why it is asked back or refused, or null
  answers  what to send instead; each is itself a reading or a command

example:
  $ echo 'c3 3/8 low' | rodcall parse --job-outline 40x28
  {"said":"c3 3/8 low","meaning":"reading","station":"c3","value":"-9.525","command":null,"why":null,"answers":[]}
`

const hearUsage = `usage: rodcall hear [--job-outline OUTLINE] [FLAGS] NOTE.ogg

Says what a voice note says: hears it as the bot does, and prints one JSON
object. It takes a recogniser: pocketsphinx with its model for English, or one
of your own. Nothing is stored.

flags:
  --job-outline, --rod, --unit, --asked, --count, --pier
                         the job that it is heard against: see rodcall help parse
  --lang en|es           the language of who speaks (en)
  --recogniser COMMAND   a program of your own and its arguments: it reads a
                         WAVE file (16 bits, mono, 16 kHz) from standard input
                         and writes the words on one line, and on further lines
                         what it could not rule out

The object holds
  text     the words as they may be typed, or null
  close    other texts that could not be ruled out, nearest first
  fail     why there is no text, or null: engine (no recogniser), loud, long,
           empty, talk (nothing that the bot knows), broken, language, busy
  seconds  how long the note is
  snr      how far speech stands over noise, in decibels, or null

example:
  $ rodcall hear --job-outline 40x28 --asked c1+8 note.ogg
  {"text":"three eighths low","close":[],"fail":null,"seconds":2.1,"snr":31.5}
`

const exportUsage = `usage: rodcall export --db FILE [--job ID] --as json|csv|notes|svg|png|pdf|photos
                      [--out FILE]

Writes a job as data, as a drawing or as papers. The file is only read.

flags:
  --db FILE              the file that holds the job
  --job ID               the job; may be left out where the file holds one
  --as json|csv          everything about the job, or one row a station;
                         to standard output unless --out is given
  --as notes             level notes: BS, HI, IS, FS, elevation, correction
  --as svg|png           the drawing; needs --out
  --as pdf               the papers, one to three pages: the drawing, summary,
                         stations, level notes, rounds, sign-off; behind them
                         notes and photos, if any were kept; needs --out
  --as photos            the photos, as c3-round1-1.jpg and so on, into the
                         folder --out
  --page as-found        of the papers only how the concrete was found, before
                         any shim: one page that stands alone
  --out FILE             the file to write
  --lang en|es           the language of drawing, notes and papers (that of
                         a group's job, else en)
  --at TIME              the time that drawing and papers say they were made
                         (now), like 2026-05-04T13:00:00Z

example:
  rodcall export --db walk.db --as png --out drawing.png
`
