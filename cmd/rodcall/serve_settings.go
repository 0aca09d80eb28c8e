package main

import (
	"crypto/tls"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"rodcall/bot"
	"rodcall/session/engine"
)

// served is what serve was told.
type served struct {
	db, api, token, metrics string
	zone                    *time.Location
	level                   slog.Level
	json                    bool // the log's form
	perSecond               int  // 0: as many as the platform takes
	perSender               int  // 0: as many as they send
	voice                   voiceFlags
	webhook, listen, secret string
	certificate, key        string      // files
	pair                    *tls.Config // nil: no TLS
	backupDir               string      // "": no copies
	backupEvery             time.Duration
	backupKeep              int
	strays                  []string // variables that look like settings
}

// serveSettings are the settings of serve, which are taken into o.
func serveSettings(o *served) []setting {
	return []setting{
		{"db", "FILE", "", "the file of the jobs, made where there is none", func(v string) error {
			if o.db = v; v == "" {
				return wrongly("rodcall serve --db walk.db --token-file token.txt", "serve needs --db, the file of the jobs")
			}
			return nil
		}},
		{"token-file", "FILE", "", "holds the token, alone; else it is in " + tokenVariable, o.readToken},
		{"api", "URL", bot.DefaultAPI, "where the Bot API is", func(v string) error {
			o.api = v
			return checkURL("api", v, bot.DefaultAPI)
		}},
		{"per-second", "N", strconv.Itoa(bot.PerSecond), "messages sent in a second, in all; 0 keeps to no rate at all, for a Bot API server of your own", func(v string) (err error) {
			o.perSecond, err = wholeNumber("per-second", v, 0)
			return err
		}},
		{"per-sender", "N", strconv.Itoa(engine.DefaultPerSender), "messages that one person may send in a second for as long as they like; 120 more may come at once; 0: any number", func(v string) (err error) {
			o.perSender, err = wholeNumber("per-sender", v, 0)
			return err
		}},
		{"zone", "NAME", "UTC", "time zone of times on drawings, like America/Denver", func(v string) (err error) {
			if o.zone, err = time.LoadLocation(v); err != nil {
				return wrongly("a zone that works: --zone America/Denver", "--zone: there is no zone %q", v)
			}
			return nil
		}},
		{"log", "LEVEL", "info", "debug, info, warn or error, on standard error", func(v string) error {
			if o.level.UnmarshalText([]byte(v)) != nil {
				return wrongly("--log debug, info, warn or error", "--log: there is no level %q", v)
			}
			return nil
		}},
		{"log-form", "text|json", "text", "the form of a line of the log", func(v string) error {
			if o.json = v == "json"; !o.json && v != "text" {
				return wrongly("--log-form text or --log-form json", "--log-form does not take %q", v)
			}
			return nil
		}},
		// What hears and speaks is checked together.
		{"voice", "auto|off|COMMAND", "auto", "what hears voice notes: pocketsphinx where it is installed, nothing, or a command of your own, which is given WAV on standard input and prints the words", func(v string) error {
			o.voice.command = v
			return nil
		}},
		{"voice-languages", "LIST", "", "the languages that COMMAND understands: en, es; en where none is said", func(v string) error {
			o.voice.languages = strings.FieldsFunc(v, func(r rune) bool { return r == ',' || r == ' ' })
			return nil
		}},
		{"aloud", "auto|off", "auto", "whether answers may be spoken, where espeak-ng and opusenc are installed", func(v string) error {
			o.voice.aloud = v
			return nil
		}},
		{"backup-dir", "DIR", "", "a folder for copies of the file, made where there is none; best on another disk", func(v string) error {
			o.backupDir = v
			return checkFolder("backup-dir", v)
		}},
		{"backup-every", "TIME", "24h", "from one copy to the next", func(v string) (err error) {
			o.backupEvery, err = time.ParseDuration(v)
			if err != nil || o.backupEvery < time.Minute {
				return wrongly("a minute or more: --backup-every 24h", "--backup-every does not take %q", v)
			}
			return nil
		}},
		{"backup-keep", "N", "14", "how many copies are kept", func(v string) (err error) {
			o.backupKeep, err = wholeNumber("backup-keep", v, 1)
			return err
		}},
		{"metrics", "ADDRESS", "", "where this machine is told how it goes: /metrics and /healthz, like 127.0.0.1:9464", func(v string) error {
			o.metrics = v
			return checkLoopback("metrics", v)
		}},
		{"webhook", "URL", "", "be sent updates there instead of asking for them; a proxy passes them to --listen, unless there is a --webhook-cert", func(v string) error {
			if o.webhook = v; v == "" {
				return nil
			}
			return checkURL("webhook", v, "https://bot.example/")
		}},
		{"listen", "ADDRESS", "127.0.0.1:8080", "where updates come in", func(v string) error {
			o.listen = v
			return checkAddress("listen", v, "127.0.0.1:8080")
		}},
		{"secret-file", "FILE", "", "what the platform proves itself with: 1 to 256 letters, digits, _ and -; needed with --webhook", o.readSecret},
		{"webhook-cert", "FILE", "", "a certificate that the platform trusts, PEM: --listen speaks TLS by itself", func(v string) error {
			o.certificate = v
			return nil
		}},
		{"webhook-key", "FILE", "", "the certificate's key, PEM", func(v string) error {
			o.key = v
			return nil
		}},
	}
}

// parseServe finds out what serve is told, and checks it as far as that goes
// without a start. What is to be shown is shown though something is wrong with it.
func parseServe(args []string) (o served, shown string, err error) {
	f := newFlags("serve")
	show := f.yes("show")
	all := serveSettings(&o)
	values, err := settle(f, all, args, os.Getenv)
	if values == nil {
		return o, "", err
	}
	values["token"] = o.tokenFrom(values["token-file"])
	for _, check := range []func() error{o.checkToken, o.voice.check, o.checkWebhook} {
		if err == nil {
			err = check()
		}
	}
	o.strays = strays(all, os.Environ())
	if *show {
		all = slices.Insert(all, 1+slices.IndexFunc(all, func(s setting) bool { return s.name == "token-file" }), setting{name: "token"})
		shown = listed(all, values)
	}
	return o, shown, err
}

// tokenFrom takes the token from its variable where no file holds it, and says
// where it is from, without it.
func (o *served) tokenFrom(file told) told {
	if o.token != "" {
		return told{"given", "token-file"}
	}
	if file.value != "" || os.Getenv(tokenVariable) == "" {
		return told{"missing", "nobody"}
	}
	o.token = os.Getenv(tokenVariable)
	return told{"given", tokenVariable}
}

// checkToken looks at the token's form.
func (o *served) checkToken() (err error) {
	const hint = "rodcall serve --db walk.db --token-file token.txt, or set " + tokenVariable
	if o.token == "" {
		return wrongly(hint, "serve needs the token: there is no --token-file, and %s is not set", tokenVariable)
	}
	if o.token, err = bot.CleanToken(o.token); err != nil {
		return wrongly(hint, "%s: %w", tokenVariable, err)
	}
	return nil
}

// listed are settings with their values, and where these come from.
func listed(all []setting, values map[string]told) string {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	for _, s := range all {
		t := values[s.name]
		value, from := t.value, t.from
		switch {
		case value == "":
			value = "-"
		case isToken(value):
			value = "a token, which is not shown"
		}
		if from == "" {
			from = "default"
		}
		_, _ = fmt.Fprintf(w, "%s\t%s\t%s\n", s.name, value, from) // b takes all
	}
	_ = w.Flush()
	return b.String()
}

func (o *served) readToken(file string) error {
	const hint = "put the token into a file by itself: --token-file token.txt"
	switch {
	case file == "":
		return nil
	case isToken(file):
		return wrongly(hint, "--token-file takes the name of a file, not the token")
	}
	b, err := os.ReadFile(file)
	if err != nil {
		return failure(hint, "read the token: %w", err)
	}
	if o.token, err = bot.CleanToken(strings.TrimPrefix(string(b), byteOrderMark)); err != nil {
		return wrongly("rodcall serve --db walk.db --token-file token.txt, or set RODCALL_TOKEN", "%w", err)
	}
	return nil
}

// secretHint is what a secret may be.
const secretHint = "a file with 1 to 256 letters and digits: --secret-file secret.txt"

func (o *served) readSecret(file string) error {
	if file == "" {
		return nil
	}
	b, err := os.ReadFile(file)
	if err != nil {
		return wrongly(secretHint, "read the secret: %w", err)
	}
	o.secret = strings.TrimRight(strings.TrimPrefix(string(b), byteOrderMark), "\r\n")
	if err := bot.CheckSecret(o.secret); err != nil {
		return wrongly(secretHint, "--secret-file: %w", err)
	}
	return nil
}

// checkWebhook looks at settings that go together.
func (o *served) checkWebhook() error {
	switch {
	case o.webhook != "" && o.secret == "":
		return wrongly(secretHint, "--webhook needs a secret: there is no --secret-file")
	case (o.certificate == "") != (o.key == ""):
		return wrongly("--webhook-cert cert.pem --webhook-key key.pem", "--webhook-cert and --webhook-key go together")
	case o.certificate == "":
		return nil
	case o.webhook == "":
		return wrongly("--webhook https://bot.example/", "--webhook-cert is for a --webhook")
	}
	pair, err := tls.LoadX509KeyPair(o.certificate, o.key)
	if err != nil {
		return failure("two files in PEM that belong together: --webhook-cert cert.pem --webhook-key key.pem", "--webhook-cert: %w", err)
	}
	o.pair = &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}
	return nil
}

func wholeNumber(name, v string, least int) (int, error) {
	n, err := strconv.Atoi(v)
	if err != nil || n < least {
		return 0, wrongly(fmt.Sprintf("a whole number, %d or more: --%s %d", least, name, least+1), "--%s does not take %q", name, v)
	}
	return n, nil
}

func checkURL(name, v, example string) error {
	u, err := url.Parse(v)
	if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "" {
		return wrongly("--"+name+" "+example, "--%s is no web address", name)
	}
	return nil
}

func checkAddress(name, v, example string) error {
	_, port, err := net.SplitHostPort(v)
	if err == nil {
		_, err = strconv.ParseUint(port, 10, 16)
	}
	if err != nil {
		return wrongly("--"+name+" "+example, "--%s: %q is no address with a port", name, v)
	}
	return nil
}

// checkLoopback takes addresses that only this machine reaches.
func checkLoopback(name, v string) error {
	const example = "127.0.0.1:9464"
	if v == "" {
		return nil
	}
	if err := checkAddress(name, v, example); err != nil {
		return err
	}
	host, _, err := net.SplitHostPort(v)
	if err != nil {
		return err
	}
	if ip, err := netip.ParseAddr(host); host != "localhost" && (err != nil || !ip.IsLoopback()) {
		return wrongly("--"+name+" "+example, "--%s: %q can be reached from other machines, and anybody could read there", name, v)
	}
	return nil
}

// checkFolder takes a folder that is there, or that can be made.
func checkFolder(name, v string) error {
	if v == "" {
		return nil
	}
	hint := "a folder: --" + name + " copies"
	is, err := os.Stat(v)
	switch {
	case err == nil && !is.IsDir():
		return failure(hint, "--%s: %s is no folder", name, v)
	case err == nil:
		return nil
	case !os.IsNotExist(err):
		return failure(hint, "--%s: %w", name, err)
	}
	if is, err := os.Stat(filepath.Dir(v)); err != nil || !is.IsDir() {
		return failure(hint, "--%s: %w", name, &fs.PathError{Op: "make", Path: v, Err: fs.ErrNotExist})
	}
	return nil
}
