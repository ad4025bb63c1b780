package mesh

// Writing the text of a 3MF model (3MF Core Specification 1.3, chapters 3 to 5). The library's own writing is passed by for
// two reasons: it rounds coordinates to so many digits, where neighbours on the grid want as many as tell them apart, and
// it takes five times as long.

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/hpinc/go3mf"
)

// The texts before the three values of an element.
var (
	vertexParts   = [3]string{`<vertex x="`, `" y="`, `" z="`}
	triangleParts = [3]string{`<triangle v1="`, `" v2="`, `" v3="`}
)

// modelBuffer is the bytes of a model's text that stand in memory at once.
const modelBuffer = 64 << 10

// shiftStep is the digit to which placements are written, in mm.
const shiftStep = 0.001

// writeModel writes objects, numbered from 1, and where they stand on the bed.
func writeModel(w io.Writer, objects []Object, meta Meta) error {
	to := bufio.NewWriterSize(w, modelBuffer) // Flush tells of all faults
	fmt.Fprintf(to, `%s<model xmlns="%s" unit="millimeter" xml:lang="en-US">`, xml.Header, go3mf.Namespace)
	for _, e := range [][2]string{{titleEntry, meta.Title}, {descriptionEntry, meta.Description}} {
		if name, text := e[0], e[1]; text != "" {
			fmt.Fprintf(to, `<metadata name="%s">%s</metadata>`, name, escaped(text))
		}
	}
	_, _ = to.WriteString("<resources>")
	for i, o := range objects {
		fmt.Fprintf(to, `<object id="%d" name="%s"><mesh>`, i+1, escaped(o.Name))
		writeLists(to, o.Mesh)
		_, _ = to.WriteString("</mesh></object>")
	}
	_, _ = to.WriteString("</resources><build>")
	for i, o := range objects {
		place := ""
		if math.Abs(o.X) >= shiftStep/2 || math.Abs(o.Y) >= shiftStep/2 {
			place = fmt.Sprintf(` transform="%v"`, go3mf.Identity().Translate(float32(o.X), float32(o.Y), 0))
		}
		fmt.Fprintf(to, `<item objectid="%d"%s/>`, i+1, place)
	}
	_, _ = to.WriteString("</build></model>")
	return to.Flush()
}

// escaped is text as it stands in an element or an attribute.
func escaped(text string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(text)) // a strings.Builder takes everything
	return b.String()
}

// writeLists writes m's vertices, with as many digits as tell every float32 from its neighbours, and its triangles.
func writeLists(to *bufio.Writer, m *Mesh) {
	_, _ = to.WriteString("<vertices>")
	for i := range m.Vertices {
		line := to.AvailableBuffer()
		for k, x := range m.Vertices[i] {
			line = append(line, vertexParts[k]...)
			line = strconv.AppendFloat(line, float64(x+0), 'f', -1, 32) // +0 makes 0 of -0
		}
		_, _ = to.Write(append(line, `"/>`...))
	}
	_, _ = to.WriteString("</vertices><triangles>")
	for _, f := range m.Faces {
		line := to.AvailableBuffer()
		for k, v := range f {
			line = append(line, triangleParts[k]...)
			line = strconv.AppendUint(line, uint64(v), 10)
		}
		_, _ = to.Write(append(line, `"/>`...))
	}
	_, _ = to.WriteString("</triangles>")
}
