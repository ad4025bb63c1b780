package main

// This file holds how inspect reads a part file: what it is, and the unit that its figures are taken in.

import (
	"context"
	"fmt"

	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/fault"
	"tryring/internal/mesh"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// fileInfo is what a part file is, as scripts read it.
type fileInfo struct {
	Format string `json:"format"`
	// Unit is the one that the figures are taken in, and UnitWhy says why; UnitQuestion asks whether it is another.
	Unit         string                `json:"unit"`
	UnitWhy      string                `json:"unit_why"`
	UnitQuestion *reading.UnitQuestion `json:"unit_question"`
	// Welded corners of open edges were taken for a neighbour's, at most WeldedMM off; Shrunk faces were left out then.
	Welded   int     `json:"welded_vertices"`
	WeldedMM float64 `json:"welded_mm"`
	Shrunk   int     `json:"shrunk_faces"`
}

// fileUnits are the units that a file may state, and first those that a person may.
var fileUnits = []struct {
	name string
	mm   float64
}{{"mm", 1}, {"in", unit.MMPerInch}, {"um", 0.001}, {"cm", 10}, {"ft", 12 * unit.MMPerInch}, {"m", 1000}}

// readPart reads the part file at path in the unit asked for, "" for the one that it states, else mm.
func readPart(ctx context.Context, path, asked string) (*mesh.Part, fileInfo, error) {
	var info fileInfo
	var opt mesh.Options
	one, err := unit.ParseLength("1 " + asked)
	for _, u := range fileUnits[:2] {
		if asked != "" && err == nil && u.mm == one.MM() {
			opt.UnitMM, info.Unit, info.UnitWhy = u.mm, u.name, "as asked for"
		}
	}
	if asked != "" && info.Unit == "" {
		return nil, info, fault.At("unit", asked, "it is mm or in")
	}
	part, err := mesh.Load(ctx, path, opt)
	if err != nil {
		return nil, info, err
	}
	for _, u := range fileUnits {
		if info.Unit == "" && u.mm == part.StatedMM {
			info.Unit, info.UnitWhy = u.name, "the file states it"
		}
	}
	if info.Unit == "" {
		info.Unit, info.UnitWhy = "mm", "the file states none, and most are in mm"
	}
	info.Format, info.Welded, info.WeldedMM, info.Shrunk = part.Format, part.Welded, part.WeldedMM, part.Shrunk
	return part, info, nil
}

// askUnit asks whether the figures are in another unit, unless it was asked for.
func (f *fileInfo) askUnit(tables *thread.Tables, found []caliper.Found, asked string) (doubt []check.Finding) {
	if asked != "" {
		return nil
	}
	var threads []reading.Measured
	for _, t := range found {
		threads = append(threads, reading.Measured{MajorMM: t.MajorMM, PitchMM: t.PitchMM})
	}
	if f.UnitQuestion = reading.AskUnit(tables, threads, f.Unit == "in"); f.UnitQuestion == nil {
		return nil
	}
	return []check.Finding{{ID: "unit", Level: check.Warn, Text: fmt.Sprintf("Is the file in another unit? Its figures are taken in %s (%s); %s. --unit %s takes them so.",
		f.Unit, f.UnitWhy, f.UnitQuestion.Text, f.UnitQuestion.Unit)}}
}
