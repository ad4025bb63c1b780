package fault

import (
	"errors"
	"fmt"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWords(t *testing.T) {
	flag := func(field string) string { return "--" + field }
	tests := []struct {
		name string
		err  error
		want string
	}{
		{"whole", At("bore", "1,2,3", "a length has one decimal point"), `--bore: "1,2,3": a length has one decimal point`},
		{"nothing read", At("inner", "", "missing"), "--inner: missing"},
		{"no field", At("", "x", "it is %d or %d", 1, 2), `"x": it is 1 or 2`},
		{"no fault", io.ErrUnexpectedEOF, "unexpected EOF"},
		{"two", errors.Join(At("a", "", "b"), errors.Join(At("c", "", "d"), nil)), "--a: b\n--c: d"},
		{"per cent without arguments", At("a", "", "50 %"), "--a: 50 %"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { assert.Equal(t, tt.want, Words(tt.err, flag)) })
	}
}

func TestIn(t *testing.T) {
	require.NoError(t, In("stays", nil))
	err := In("stays", errors.Join(At("bore", "x", "a length"), io.EOF))
	assert.Equal(t, "stays.bore: \"x\": a length\nstays: EOF", err.Error())
	require.ErrorIs(t, err, io.EOF)
	assert.Equal(t, "bore", Each(In("", At("bore", "", "y")))[0].Field)
}

// A fault wrapped in words that are no fault keeps its words and its cause.
func TestEachOfWrapped(t *testing.T) {
	err := fmt.Errorf("file: %w", At("bore", "x", "a length"))
	got := Each(err)
	require.Len(t, got, 1)
	assert.Equal(t, `file: bore: "x": a length`, got[0].Want)
	require.ErrorIs(t, got[0], err)
}
