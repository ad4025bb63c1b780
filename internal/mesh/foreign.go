package mesh

// Files that people hand in for a part and that are none of those read here: told by name, with what to do.

import "bytes"

const (
	exportIt = "; export the part as STL or 3MF from the program that made it"
	unpackIt = "; unpack it first"
)

// signs are how well-known files begin, from published descriptions of the formats.
var signs = []struct{ start, name string }{
	{"ISO-10303-21", "a STEP file, which holds curves and not triangles" + exportIt},
	{"glTF", "a glTF scene" + exportIt},
	{"Kaydara FBX", "an FBX scene" + exportIt},
	{"; FBX", "an FBX scene" + exportIt},
	{"#VRML", "a VRML scene" + exportIt},
	{"3D Geometry File Format", "a NURBS modeller's own file" + exportIt},
	{"BLENDER", "a modeller's own file" + exportIt},
	{"AC10", "a DWG drawing" + exportIt},
	{"DBRep_DrawableShape", "a BREP file, which holds curves and not triangles" + exportIt},
	{"CASCADE Topology", "a BREP file, which holds curves and not triangles" + exportIt},
	{"**ABCDEFGHIJKLMNOPQRSTUVWXYZ", "a solid modeller's transfer file, which holds curves and not triangles" + exportIt},
	{"\xd0\xcf\x11\xe0", "a program's own file" + exportIt},
	{"OFF", "an OFF file" + exportIt},
	{"<?xml", "XML, such as AMF, COLLADA or X3D" + exportIt},
	{"<", "a web page or other marked-up text, perhaps saved in place of the part; fetch the part file itself"},
	{"%PDF", "a PDF" + exportIt},
	{"\x89PNG", "a picture; tryring photo counts the crests on it"},
	{"\xff\xd8\xff", "a picture; tryring photo counts the crests on it"},
	{"7z\xbc\xaf\x27\x1c", "a 7z archive" + unpackIt},
	{"Rar!", "a RAR archive" + unpackIt},
	{"BZh", "packed by bzip2" + unpackIt},
	{"\xfd7zXZ", "packed by xz" + unpackIt},
	{"\x28\xb5\x2f\xfd", "packed by zstd" + unpackIt},
	{"\xff\xfe", "text in UTF-16; save it as UTF-8"},
	{"\xfe\xff", "text in UTF-16; save it as UTF-8"},
	{"; ", "a tool path or a script; a tool path's name should end in .gcode"},
	{"G21", "a tool path; its name should end in .gcode"},
	{"G90", "a tool path; its name should end in .gcode"},
}

// igesSection is the column of an IGES file's first line that holds S (ANSI US PRO/IPO-100, section 2.2).
const igesSection = 72

// foreign says what a file is, by how it begins; "" where that is not known.
func foreign(head []byte) string {
	text := bytes.TrimPrefix(head, byteOrderMark)
	for _, s := range signs {
		if bytes.HasPrefix(text, []byte(s.start)) {
			return s.name
		}
	}
	words := bytes.Fields(text)
	switch {
	case len(head) > igesSection && head[igesSection] == 'S' && bytes.HasSuffix(bytes.TrimRight(head[:min(len(head), igesSection+8)], " \r\n"), []byte("1")):
		return "an IGES file, which holds curves and not triangles" + exportIt
	case len(words) > 1 && string(words[0]) == "0" && string(words[1]) == "SECTION":
		return "a DXF drawing" + exportIt
	case bytes.HasPrefix(text, []byte("{")) && bytes.Contains(text, []byte(`"asset"`)):
		return "a glTF scene" + exportIt
	}
	return ""
}
