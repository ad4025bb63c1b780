"""Threads as the foreign generators are told of them: the profile from plain lines, and the truth about it in closed form.

A ridge of one pitch is root flat, lower flank, crest flat, upper flank; flats may be arcs that touch both flanks. All millimetres and
degrees; flank angles stand to the plane across the axis, the lower flank is the one whose outward side looks down the axis."""
import math
from dataclasses import dataclass, replace


@dataclass(frozen=True)
class Thread:
    major: float
    pitch: float
    depth: float  # crest to root on the radius
    crest: float  # width of the flat, or of the sharp flanks' gap that the arc fills, at the major diameter
    lower: float = 30.0
    upper: float = 30.0
    starts: int = 1
    left: bool = False
    internal: bool = False
    taper: float = 0.0  # change of diameter a length
    radius: float = 0.0  # of crest and root arcs; 0 for flats
    standard: str = ""

    @property
    def lead(self):
        return self.pitch * self.starts

    @property
    def tans(self):
        return math.tan(math.radians(self.lower)) + math.tan(math.radians(self.upper))

    @property
    def minor(self):
        return self.major - 2 * self.depth

    @property
    def pitch_diameter(self):
        """Where ridge and groove are equally wide: the ridge is crest + x * tans wide at x below the major radius."""
        return self.major - (self.pitch - 2 * self.crest) / self.tans

    @property
    def root(self):
        return self.pitch - self.crest - self.depth * self.tans

    def knots(self, arc=6, between=0):
        """Points (z from 0 to pitch, height above the root from 0 to depth) of a ridge, starting at the lower end of its root.

        An external ridge lies between them and the axis. Of an internal thread they bound the void, whose lower flank is the upper
        flank of the material: so the two change places."""
        low, up = (self.upper, self.lower) if self.internal else (self.lower, self.upper)
        tl, tu = math.tan(math.radians(low)), math.tan(math.radians(up))
        if self.radius:
            return self._arcs(low, up, arc)
        z = [0, self.root, self.root + self.depth * tl, self.root + self.depth * tl + self.crest, self.pitch]
        h = [0, 0, self.depth, self.depth, 0]
        points = list(zip(z, h))
        if not between:
            return points
        fine = [points[0]]
        for (z0, h0), (z1, h1) in zip(points, points[1:]):
            n = between + 1
            fine += [(z0 + (z1 - z0) * k / n, h0 + (h1 - h0) * k / n) for k in range(1, n + 1)]
        return fine

    def _arcs(self, low, up, n):
        """Half a root arc, flank, crest arc, flank, half a root arc; equal flanks. The flanks' straight parts meet the arcs at their tangents."""
        a, r = math.radians(low), self.radius
        assert low == up
        mid = self.pitch / 2
        crest = [(mid + r * math.sin(t), self.depth - r + r * math.cos(t)) for t in spread(-(math.pi / 2 - a), math.pi / 2 - a, 2 * n)]
        right = [(self.pitch + r * math.sin(t), r - r * math.cos(t)) for t in spread(-(math.pi / 2 - a), 0, n)]
        left = [(self.pitch - z, h) for z, h in reversed(right)]
        return left + crest + right

    def truth(self, point, direction, start, end, turns, share=1.0, reference=None):
        """What a file of this thread must be found to hold; start and end bound the full form on the axis."""
        lower, upper = self.lower, self.upper
        if self.taper:
            # The flanks' slopes dr/dz are drawn from the untapered profile, and the cone's is added.
            t = self.taper / 2
            sign = -1 if self.internal else 1
            lower = math.degrees(math.atan(1 / (1 / math.tan(math.radians(lower)) + sign * t)))
            upper = math.degrees(math.atan(1 / (1 / math.tan(math.radians(upper)) - sign * t)))
        return {
            "side": "internal" if self.internal else "external",
            "point_mm": list(point), "direction": list(direction), "start_mm": list(start), "end_mm": list(end),
            "lead_mm": self.lead, "starts": self.starts, "hand": "left" if self.left else "right", "taper": self.taper,
            # On a taper the diameters hold at reference_mm on the axis.
            "reference_mm": list(reference or point),
            "major_mm": self.major, "pitch_diameter_mm": self.pitch_diameter, "minor_mm": self.minor,
            "flank_deg": [lower, upper], "turns": turns, "share": share, "standard": self.standard,
        }

    def but(self, **changes):
        return replace(self, **changes)


def spread(a, b, n):
    return [a + (b - a) * k / n for k in range(n + 1)]


def sixty(major, pitch, **more):
    """ISO 68-1: fundamental triangle of 0.866 P, cut by an eighth above and a quarter below."""
    return Thread(major, pitch, 0.625 * math.sqrt(0.75) * pitch, pitch / 8, **more)


def fiftyfive(major, pitch, **more):
    """BS 84: 27.5 degree flanks, a sixth of the triangle rounded off above and below."""
    tall = pitch / (2 * math.tan(math.radians(27.5)))
    radius = (tall / 6) / (1 / math.sin(math.radians(27.5)) - 1)
    # The flanks reach the major diameter as far apart as the triangle is wide there.
    return Thread(major, pitch, tall * 2 / 3, pitch / 6, 27.5, 27.5, radius=radius, **more)


def trapezoid(major, pitch, **more):
    """Half a pitch deep at 30 degrees, ridge and groove equally wide at half depth."""
    return Thread(major, pitch, pitch / 2, pitch / 2 - pitch / 2 * math.tan(math.radians(15)), 15, 15, **more)


def saw(major, pitch, load=3, clear=30, **more):
    """Three quarters of a pitch deep, flats of equal width."""
    tans = math.tan(math.radians(load)) + math.tan(math.radians(clear))
    return Thread(major, pitch, 0.75 * pitch, (pitch - 0.75 * pitch * tans) / 2, load, clear, **more)


def cone(major, pitch, taper=1 / 16, **more):
    """A deep 60 degree thread on a cone."""
    depth = 0.8 * pitch
    return Thread(major, pitch, depth, (pitch - depth * 2 * math.tan(math.radians(30))) / 2, taper=taper, **more)
