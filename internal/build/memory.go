package build

// This file makes a ring's files in memory, for whoever has no folder to put them in: the same bytes, proved the same way.

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/mesh"
	"tryring/internal/ring"
)

// Built is a ring whose files lie in memory, proved like those of Make.
type Built struct {
	// Result tells of the ring; its Files are bare names.
	Result Result
	// Files are the contents by ending: ".stl", ".3mf", ".svg", ".html", ".json".
	Files map[string][]byte
}

// Build makes in memory what Make makes in a folder; read is what the report says was read beforehand, a sentence each.
// It touches no disk. Errors are those of Make.
func Build(ctx context.Context, a Asked, p ring.Plan, read []string) (Built, error) {
	m, err := build(a, p)
	if err != nil {
		return Built{}, fmt.Errorf("%s mesher: %w", a.Mesher, err)
	}
	if err := ctx.Err(); err != nil {
		return Built{}, err
	}
	var stl, threeMF, svg, html, table bytes.Buffer
	if err := mesh.EncodeSTL(&stl, m, stlHeader(p)); err != nil {
		return Built{}, err
	}
	again, err := mesh.DecodeSTL(bytes.NewReader(stl.Bytes()))
	if err != nil {
		return Built{}, fmt.Errorf("STL: reading back: %w", err)
	}
	r := NewResult(a, p)
	found, err := r.judge(again, int64(stl.Len()), a, p)
	if err != nil {
		return Built{}, fmt.Errorf("STL: %w", err)
	}
	if err := mesh.Encode3MF(&threeMF, []mesh.Object{{Name: a.Name, Mesh: m}}, mesh.Meta{Title: title(p), Description: check.Caution}); err != nil {
		return Built{}, err
	}
	objects, _, err := mesh.Read3MF(bytes.NewReader(threeMF.Bytes()), int64(threeMF.Len()))
	if err != nil {
		return Built{}, fmt.Errorf("3MF: reading back: %w", err)
	}
	if err := sameMesh(objects, m); err != nil {
		return Built{}, fmt.Errorf("3MF: %w", err)
	}
	r.Files = a.names()
	var picture bytes.Buffer
	if err := shade(&picture, p); err != nil {
		return Built{}, err
	}
	report := draw.ReportData{Name: a.Name, Read: read, Plan: p, Measured: &found, Checks: r.Checks, Files: r.Files, View: picture.Bytes()}
	if err := errors.Join(draw.Section(&svg, p), draw.Report(&html, report), r.encode(&table), ctx.Err()); err != nil {
		return Built{}, err
	}
	return Built{Result: r, Files: map[string][]byte{
		".stl": stl.Bytes(), ".3mf": threeMF.Bytes(), ".svg": svg.Bytes(), ".html": html.Bytes(), ".json": table.Bytes(),
	}}, nil
}
