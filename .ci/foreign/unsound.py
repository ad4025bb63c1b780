"""Files that are not sound, each with a thread that is there all the same, and sound ones beside them."""
from cases import *
from broken import *


def bad(fault, make, fmt="stl", sound=False, **more):
    case("unsound", "own", fmt, make, sound=sound, fault=fault, facets=48, **more)


def of(part, how):
    """Spoils the mesh of a part."""
    m, truths = part
    return how(m), truths


def twice(part, by):
    """A part and its smaller copy within, about the middle of the box."""
    m, truths = part
    mid = (m.points.min(0) + m.points.max(0)) / 2
    return beside(part, change.place(change.scaled(part, by), shift=mid * (1 - by)))


B = lambda: bolt(M20, 18, 48, head=15)
N = lambda: nut(M20, 15, 16, 48)
ball = lambda r, at: moved(plain.ball(r, 32, 16), at)
bad("bodies overlap", lambda: beside(B(), (moved(plain.box(20, 20, 8), (-10, -10, 2)), [])))
bad("bodies overlap", lambda: beside(B(), change.place(nut(M20, 15, 16), shift=(20, 0, 0))))
bad("solid in a solid", lambda: beside(B(), (ball(4, (0, 0, 14)), [])))
bad("body inside out beside another", lambda: beside(B(), (flipped(ball(6, (40, 0, 0))), [])))
bad("all inside out", lambda: of(B(), flipped))
bad("all inside out", lambda: of(N(), flipped), "ply")
bad("some faces turned", lambda: of(B(), lambda m: some_flipped(m, 3, 1)))
bad("some faces turned", lambda: of(N(), lambda m: some_flipped(m, 40, 2)), "obj")
bad("holes", lambda: of(B(), lambda m: holes(m, 1, 3)))
bad("holes", lambda: of(N(), lambda m: holes(m, 12, 4)), "ply")
bad("T-joints", lambda: of(B(), lambda m: t_joints(m, 4, 5)))
bad("T-joints", lambda: of(N(), lambda m: t_joints(m, 1, 6)))
bad("faces twice", lambda: of(B(), lambda m: doubled(m, 5, 7)))
bad("the whole twice", lambda: of(N(), lambda m: join(m, m)))
bad("open end", lambda: of(B(), lambda m: open_end(m, 24)))
bad("a vertex through the other side", lambda: of(B(), lambda m: pushed(m, 8, 1.6)), sound=None)
bad("a vertex through the other side", lambda: of(N(), lambda m: pushed(m, 9, 1.2)), "ply", sound=None)
bad("corners shaken by 0.01 mm", lambda: of(B(), lambda m: soup(m, 0.01, 10)), sound=None)
bad("nut and bolt in one another", lambda: beside(B(), change.place(nut(M20, 12, 16), shift=(0.3, 0, 9))), sound=None)
bad("shell twice at different sizes", lambda: twice(B(), 0.8), sound=None)
bad("two bodies touching in a face", lambda: beside(B(), (moved(plain.box(10, 10, 5), (-5, -5, -5)), [])), sound=None)
# Sound, though they look otherwise.
bad("", lambda: of(B(), lambda m: soup(m, 1e-6, 11)), sound=True)
bad("", lambda: of(N(), lambda m: soup(m, 4e-7, 12)), "stl-e", sound=True)
bad("", lambda: beside((plain.ball(20, 48, 24), []), (flipped(ball(10, (0, 0, 0))), [])), sound=True, bodies=1)
bad("", lambda: beside((plain.ball(20, 48, 24), []), (flipped(ball(12, (0, 0, 0))), []), (ball(5, (2, 1, 0)), [])), sound=True, bodies=2)
