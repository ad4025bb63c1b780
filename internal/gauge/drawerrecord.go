package gauge

// This file holds what a drawer tells of itself, and its record.

import (
	"encoding/json"
	"path"

	"tryring/internal/build"
	"tryring/internal/fault"
	"tryring/internal/printer"
)

// DrawerRecord is the name of a drawer's record in its folder.
const DrawerRecord = "drawer.json"

// OpenDrawer reads the record of the drawer in a folder.
func OpenDrawer(folder string, read func(name string) ([]byte, error)) (d DrawerResult, err error) {
	name := path.Join(folder, DrawerRecord)
	text, err := read(name)
	if err == nil && json.Unmarshal(text, &d) != nil {
		err = fault.At("", name, "it is not the record of a drawer")
	}
	return d, err
}

// DrawerResult is a drawer as it is told and as it stands in its record, drawer.json. Paths in it are relative to the
// drawer's folder, so that the folder may be moved.
type DrawerResult struct {
	Caution []string `json:"caution"`
	Title   string   `json:"title"`
	Printer string   `json:"printer"`
	// Gauges are in the order of the list.
	Gauges []Result `json:"gauges"`
	// Unresolved counts the gauges whose tolerance the printer cannot resolve.
	Unresolved int                 `json:"unresolved"`
	Plates     []build.PlateResult `json:"plates"`
	Trays      []TrayResult        `json:"trays"`
	// NoTray names the gauges whose well is larger than the printer's bed.
	NoTray []string `json:"no_tray"`
	// Cost is the estimate for all plates and trays, each printed by itself.
	printer.Cost
	// Made are the hashes of what gauges, trays and plates were made from, Digests those of the drawer's files (SHA-256).
	Made    []MadeFrom        `json:"made"`
	Digests map[string]string `json:"digests"`
}

// MadeFrom is the hash of what the files of a name were made from.
type MadeFrom struct {
	Name string `json:"name"`
	Key  string `json:"key"`
}

// DrawerRun is a finished drawer with what the run did.
type DrawerRun struct {
	DrawerResult
	Folder string `json:"folder"`
	// New and Kept count the files that were written and those that were there already.
	New  int `json:"new_files"`
	Kept int `json:"kept_files"`
	// Unused are the columns of the list that nobody reads.
	Unused []string `json:"unused_columns"`
	// Foreseen is what was said of the gauges before they were made.
	Foreseen Foresight `json:"foreseen"`
}

// TrayResult is one tray as it was made.
type TrayResult struct {
	File      string     `json:"file"`
	Wells     []TrayWell `json:"wells"`
	VolumeMM3 float64    `json:"volume_mm3"`
}

// TrayWell is one well of a tray; rows and columns count from the front left.
type TrayWell struct {
	Name   string `json:"name"`
	Row    int    `json:"row"`
	Column int    `json:"column"`
}
