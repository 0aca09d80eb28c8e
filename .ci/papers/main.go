// Command papers holds a job's papers against its export with poppler's
// programs, which know nothing of how they were made: pdffonts must find every
// font embedded and with a map to Unicode, pdftotext must read each station with
// the export's figures, and pdfinfo must count one to three pages, and at most
// one more for each note or photo; pdfimages must list no more photos than were
// kept. Its arguments are pairs of files, an export in JSON and a PDF.
package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"

	"rodcall/session/report/proof"
)

func main() {
	args := os.Args[1:]
	if len(args) == 0 || len(args)%2 != 0 {
		fmt.Fprintln(os.Stderr, "error: want pairs of files\nhint: go run ./.ci/papers export.json papers.pdf")
		os.Exit(2)
	}
	status := 0
	for ; len(args) > 0; args = args[2:] {
		if err := check(args[0], args[1]); err != nil {
			fmt.Fprintf(os.Stderr, "error: %s: %v\n", args[1], err)
			status = 1
		}
	}
	os.Exit(status)
}

func check(export, pdf string) error {
	exported, err := os.ReadFile(export)
	if err != nil {
		return err
	}
	info, err := run("pdfinfo", pdf)
	if err != nil {
		return err
	}
	m := regexp.MustCompile(`(?m)^Pages: +(\d+)$`).FindStringSubmatch(info)
	if m == nil {
		return fmt.Errorf("pdfinfo counts no pages:\n%s", info)
	}
	notes, photos, err := kept(exported)
	if err != nil {
		return err
	}
	if n, err := strconv.Atoi(m[1]); err != nil || n < 1 || n > 3+notes {
		return fmt.Errorf("%s pages", m[1])
	}
	images, err := run("pdfimages", "-list", pdf)
	if err != nil {
		return err
	}
	if n := strings.Count(images, " jpeg "); n > photos || strings.Count(images, " image ") > n {
		return fmt.Errorf("%d photos were kept, pdfimages lists:\n%s", photos, images)
	}
	fonts, err := run("pdffonts", pdf)
	if err != nil {
		return err
	}
	lines := strings.Split(strings.TrimSpace(fonts), "\n")
	if len(lines) < 3 {
		return fmt.Errorf("pdffonts finds no fonts:\n%s", fonts)
	}
	at := strings.Index(lines[0], "emb sub uni")
	for _, l := range lines[2:] {
		if at < 0 || at+11 > len(l) || !strings.HasPrefix(l[at:], "yes") || !strings.HasPrefix(l[at+8:], "yes") {
			return fmt.Errorf("a font is not embedded, or without a map to Unicode:\n%s", fonts)
		}
	}
	text, err := run("pdftotext", "-raw", pdf, "-")
	if err != nil {
		return err
	}
	found, err := proof.Compare(exported, text)
	if err != nil {
		return err
	}
	fmt.Printf("%s: %s pages, %d fonts embedded, %d stations as exported\n", pdf, m[1], len(lines)-2, found)
	return nil
}

// kept counts the notes and photos of an export, and the photos among them.
func kept(exported []byte) (notes, photos int, err error) {
	type list []struct{ Photo *string }
	var e struct {
		Notes    list
		Stations []struct{ Notes list }
	}
	if err := json.Unmarshal(exported, &e); err != nil {
		return 0, 0, err
	}
	all := e.Notes
	for _, s := range e.Stations {
		all = append(all, s.Notes...)
	}
	for _, n := range all {
		if n.Photo != nil {
			photos++
		}
	}
	return len(all), photos, nil
}

func run(name string, args ...string) (string, error) {
	out, err := exec.Command(name, args...).Output()
	if err != nil {
		return "", fmt.Errorf("%s: %w", name, err)
	}
	return string(out), nil
}
