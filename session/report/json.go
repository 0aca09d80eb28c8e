package report

import (
	"encoding/json"
	"fmt"
	"io"
	"time"

	"rodcall/reduce"
	"rodcall/session"
)

// The export, schema 1. Fields stand in the order in which they are written;
// a nil pointer is a value that is not known and is written as null.
type document struct {
	Schema       int            `json:"schema"`
	Job          jobDoc         `json:"job"`
	Datum        *datumDoc      `json:"datum"`
	Tolerance    reduce.Length  `json:"tolerance"`
	ToleranceSet bool           `json:"tolerance_set"` // false: nobody set it, it is ours
	Weights      string         `json:"weights"`       // budget, setups
	Known        []knownDoc     `json:"known"`
	Design       []designDoc    `json:"design,omitempty"` // steps and falls, oldest first
	Steps        []stepDoc      `json:"steps,omitempty"`  // where the design changes at once
	Quality      qualityDoc     `json:"quality"`
	Setups       []setupDoc     `json:"setups"`
	Rods         []rodDoc       `json:"rods"`
	Stations     []stationDoc   `json:"stations"`
	Readings     []readingDoc   `json:"readings"`
	Summary      summaryDoc     `json:"summary"`
	Plan         *planDoc       `json:"plan"`
	Laid         []laidDoc      `json:"laid"`            // shims that lie there, in walking order
	Signatures   []signatureDoc `json:"signatures"`      // oldest first
	Notes        []noteDoc      `json:"notes,omitempty"` // of stations that are not listed above
	Events       uint64         `json:"events"`          // the number of the newest
	Chain        *chainDoc      `json:"chain"`
}

// chainDoc is the head of the log that the export was made from.
type chainDoc struct {
	Event uint64       `json:"event"`
	Head  session.Hash `json:"head"`
}

type jobDoc struct {
	ID        string        `json:"id"`
	Name      string        `json:"name"`
	Chat      string        `json:"chat"`
	Unit      reduce.Unit   `json:"unit"`
	Finest    string        `json:"finest"`
	Round     int           `json:"round"`
	Surface   string        `json:"surface"`
	State     session.State `json:"state"`
	Reference string        `json:"reference"`
}

type datumDoc struct {
	Choice  reduce.DatumChoice `json:"choice"`
	Station *string            `json:"station"`
	Level   *reduce.Length     `json:"level"`
}

type setupDoc struct {
	ID         int            `json:"id"`
	Opened     string         `json:"opened"`
	TiedBy     []string       `json:"tied_by"`
	Misclosure *reduce.Length `json:"misclosure"`
	X          *reduce.Length `json:"x"` // where the laser stands
	Y          *reduce.Length `json:"y"`
}

type knownDoc struct {
	Station string        `json:"station"`
	Height  reduce.Length `json:"height"`
}

// designDoc is a step, or where Run is set a fall from From to To by −Rise in
// each Run.
type designDoc struct {
	From string         `json:"from"`
	To   string         `json:"to"`
	Loop bool           `json:"loop"` // all of From's loop
	Rise reduce.Length  `json:"rise"`
	Run  *reduce.Length `json:"run"`
}

// stepDoc is a step between two sections: Rise by design, walking on, and by how
// much it is off that as measured between two stations.
type stepDoc struct {
	Station string          `json:"station"`
	Rise    reduce.Length   `json:"rise"`
	Off     *reduce.Length  `json:"off"`
	Between []string        `json:"between"`
	Verdict *reduce.Verdict `json:"verdict"` // on, unsure, or lower: off by more than the tolerance
}

type qualityDoc struct {
	Redundancy     int      `json:"redundancy"`      // readings more than enough
	VarianceFactor *float64 `json:"variance_factor"` // null without redundancy
}

type rodDoc struct {
	ID       int            `json:"id"`
	Setup    int            `json:"setup"`
	By       *string        `json:"by"`
	Kind     reduce.RodKind `json:"kind"`
	Constant *reduce.Length `json:"constant"`
	Flipped  bool           `json:"flipped"`
}

type stationDoc struct {
	Name      string          `json:"name"`
	Loop      *string         `json:"loop"`
	X         *reduce.Length  `json:"x"`
	Y         *reduce.Length  `json:"y"`
	Design    reduce.Length   `json:"design"`
	Height    *reduce.Length  `json:"height"`
	Elevation *reduce.Length  `json:"elevation"`
	Deviation *reduce.Length  `json:"deviation"`
	Band      *reduce.Length  `json:"band"`
	Move      *reduce.Length  `json:"move"`
	Verdict   *reduce.Verdict `json:"verdict"`
	Checked   bool            `json:"checked"`
	Shims     []string        `json:"shims"`
	Rounds    []roundDoc      `json:"rounds"`
	NoBeam    bool            `json:"no_beam"`
	Carried   bool            `json:"carried"`   // the elevation is of an earlier round, and nobody touched the spot since
	Predicted *reduce.Length  `json:"predicted"` // the elevation that it should have by now, not a measured one
	Notes     []noteDoc       `json:"notes,omitempty"`
}

// noteDoc is a note or a photo that was kept with a station, oldest first.
type noteDoc struct {
	Station string  `json:"station,omitempty"` // where the note stands beside the stations
	Text    string  `json:"text"`
	Photo   *string `json:"photo"` // SHA-256 of its bytes
	By      *string `json:"by"`
	At      string  `json:"at"`
	Round   int     `json:"round"`
}

type roundDoc struct {
	Round     int            `json:"round"`
	Elevation *reduce.Length `json:"elevation"`
}

type readingDoc struct {
	Seq     uint64        `json:"seq"`
	Round   int           `json:"round"`
	Rod     int           `json:"rod"`
	Station string        `json:"station"`
	Value   reduce.Length `json:"value"`
	Kind    string        `json:"kind"`
	Said    string        `json:"said"`
	By      *string       `json:"by"`
	At      string        `json:"at"`
	Message *string       `json:"message"`
	Void    bool          `json:"void"`
	// Of a reading that was heard in a voice note; left out of all others.
	Spoken *bool `json:"spoken,omitempty"`
	Firm   *bool `json:"firm,omitempty"` // somebody confirmed it, or its reader went on after the echo
}

type summaryDoc struct {
	Read      int            `json:"read"`
	Left      int            `json:"left"`
	High      *spotDoc       `json:"high"`
	Low       *spotDoc       `json:"low"`
	Range     *reduce.Length `json:"range"`
	Pair      *pairDoc       `json:"worst_pair"` // within 20 ft in plan
	Unchecked int            `json:"unchecked"`  // stations whose height nothing checks
}

type signatureDoc struct {
	By       *string `json:"by"`
	At       string  `json:"at"`
	Round    int     `json:"round"`
	Event    uint64  `json:"event"`
	Standing bool    `json:"standing"`
	Reopened *string `json:"reopened"` // when a later change re-opened the job
}

type spotDoc struct {
	Station   string        `json:"station"`
	Elevation reduce.Length `json:"elevation"`
}

type pairDoc struct {
	High       spotDoc        `json:"high"`
	Low        spotDoc        `json:"low"`
	Difference reduce.Length  `json:"difference"`
	Distance   reduce.Length  `json:"distance"`
	Band       *reduce.Length `json:"band"` // of the difference
}

// WriteJSON writes the export, schema 1: lengths are decimal strings in
// millimetres, heights + up, and what is not known is null. The same job
// and sources give the same bytes.
func WriteJSON(w io.Writer, j *session.Job, src Sources) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(documentOf(j, src)); err != nil {
		return fmt.Errorf("write the export: %w", err)
	}
	return nil
}

// instant writes a time as the export does: UTC, to the second.
func instant(t time.Time) string { return t.UTC().Format(time.RFC3339) }

// known is nil for "".
func known(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}
