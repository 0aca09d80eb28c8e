package report

import "rodcall/session"

// Photos gives the bytes of a photo, a JPEG, by their hash; nil for one that is
// not kept.
type Photos func(session.Hash) []byte
