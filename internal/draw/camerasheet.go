package draw

// This file draws the page that lies under a part while its picture is taken: marks for the camera around a free place.

import "tryring/internal/pose"

// cameraSheet is the page; its marks stand a little over the middle of the paper, clear of the words at its foot.
func cameraSheet(p Paper) *sheet {
	s, room := upright(p, marginSide, "For the camera: the part lies on this page")()
	on := func(x, y float64) at { return at{p.WideMM/2 + x, p.HighMM/2 - 2 - y} }
	for _, m := range pose.Marks() {
		s.circle("mark", lineKind{}, black, on(m.X, m.Y), pose.RadiusMM)
		for _, h := range pose.HolesOf(m.Holes) {
			s.circle("mark", lineKind{}, white, on(m.X+h.X, m.Y+h.Y), h.Radius)
		}
	}
	const half = pose.LineMM / 2
	s.ruler(on(-74.5, half), true, 2*half, 10, "")
	for _, side := range []float64{-1, 1} {
		from, to := on(side*(pose.FreeWideMM-1), pose.PlaceMM), on(side*(pose.FreeWideMM-10), pose.PlaceMM)
		s.open("place", wide, from, to)
		s.area("place", black, to, at{to.X + side*3, to.Y - 1.2}, at{to.X + side*3, to.Y + 1.2})
	}
	words := newFlow(1, func() (*sheet, box) {
		room.X0, room.Y0 = on(-pose.FreeWideMM+4, 0).X, on(0, pose.WordsToMM-1).Y
		room.X1, room.Y1 = on(pose.FreeWideMM-4, 0).X, on(0, pose.FreeFromMM).Y
		return s, room
	})
	words.paragraph("", "Lay the part on its side here, its axis from arrow to arrow.", "Take one picture from this end and, with nothing moved, one from the other, 30 to 60 degrees over the table, all marks in them that the part does not cover, with light from where you stand or the flash. Tell what the long line reads (150 mm).")
	return s
}
