// Package check holds every check and caution, one rule a function, one list.
package check

// Level says how much a finding matters.
type Level string

// The levels, mildest first. Stop means that the part must not be made or used as it is.
const (
	OK   Level = "ok"
	Note Level = "note"
	Warn Level = "warn"
	Stop Level = "stop"
)

// Finding is what one rule found, in plain words with the figure.
type Finding struct {
	ID    string `json:"id"`
	Level Level  `json:"level"`
	Text  string `json:"text"`
}

// Caution stands in every output that makes or judges a part.
const Caution = "TEST FIT ONLY. A printed ring is for test-fitting and prototyping only. Never install it as a pressure-bearing or permanent plumbing part. Follow local codes and licensed practice."
