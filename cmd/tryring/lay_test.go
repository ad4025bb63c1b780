package main

// This file lays a ring's threads as plain G-code, for stories about tool paths.

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"

	"tryring/internal/build"
	"tryring/internal/thread"
)

func lay(ts *testscript.TestScript, _ bool, args []string) {
	var r build.Result
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &r))
	layer, err := strconv.ParseFloat(args[2], 64)
	ts.Check(err)
	grown, err := strconv.ParseFloat(args[3], 64)
	ts.Check(err)
	over := len(args) > 4 && args[4] == "over" // with its other end down
	const line = 0.45
	area := (line-layer)*layer + math.Pi/4*layer*layer
	var b strings.Builder
	b.WriteString("; filament_diameter = 1.75\nM83\n")
	for z := layer; z < r.HeightMM; z += layer {
		for _, side := range []struct {
			build.ThreadResult
			out float64
		}{{r.Outer, 1}, {r.Inner, -1}} {
			t, err := thread.NewTables().Parse(side.Designation)
			ts.Check(err)
			p, err := thread.NewProfile(t.Section(side.Modelled))
			ts.Check(err)
			const corners = 360
			for k := range corners + 1 {
				angle := 2 * math.Pi * float64(k) / corners
				height, turned := z-layer/2, angle
				if over {
					height, turned = r.HeightMM-height, -angle
				}
				radius := p.Rho(height-t.Lead().MM()*float64(t.Hand)*turned/(2*math.Pi)) - side.out*(line/2-grown)
				sin, cos := math.Sincos(angle)
				fed := ""
				if k > 0 {
					fed = fmt.Sprintf(" E%.6f", 2*math.Pi*radius/corners*area/(math.Pi/4*1.75*1.75))
				}
				fmt.Fprintf(&b, "G1 X%.4f Y%.4f Z%.3f%s\n", 100+radius*cos, 100+radius*sin, z, fed)
			}
		}
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), []byte(b.String()), 0o600))
}
