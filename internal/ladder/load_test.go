package ladder

import "testing"

func FuzzParseLadder(f *testing.F) {
	f.Add(`{"inner":"M8","outer":"M12","rungs":[{"rung":"0.10"}]}`)
	f.Add(`{}`)
	f.Fuzz(func(t *testing.T, text string) {
		if l, err := parse("l.json", []byte(text)); err == nil && (l.Inner == "" || len(l.Rungs) == 0) {
			t.Fatalf("%q was taken for a ladder", text)
		}
	})
}
