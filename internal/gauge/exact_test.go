package gauge

import "tryring/internal/printer"

// exact is a printer that adds and takes nothing, uncertain by 0.1 mm: what is modelled for it is what is wanted.
func exact() printer.Profile {
	p := printer.Unnamed()
	p.OutsideAdds, p.InsideTakes, p.LayerShare, p.LayerShareU, p.ScaleUPct = 0, 0, 0, 0, 0
	p.OutsideU, p.InsideU = 0.1, 0.1
	return p
}
