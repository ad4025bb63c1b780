package mesh

// Part files that are packed, by gzip or zip, and what they may unpack to.

import (
	"fmt"
	"io"
	"path"
	"slices"
	"strings"

	"github.com/klauspost/compress/zip"
)

// What a packed file may unpack to: a mesh's text packs to a tenth or so, repetitive text to less.
const (
	swellFactor = 100
	swellStart  = 1 << 20 // bytes on top
	swellMost   = 1 << 30 // bytes in all
	// maxPacked is how many files an archive may hold.
	maxPacked = 1000
)

// mostUnpacked is what size packed bytes may unpack to.
func mostUnpacked(size int64) int64 { return min(swellMost, swellStart+swellFactor*size) }

// decodePacked reads what size packed bytes unpack to.
func (p *Part) decodePacked(r io.Reader, size int64, by string) ([]*Mesh, error) {
	bodies, err := p.decodePlain(&swelling{r, size, mostUnpacked(size)}, -1)
	p.Format += ", packed by " + by
	return bodies, err
}

// swelling ends with ErrSwollen where more is unpacked than left.
type swelling struct {
	io.Reader
	size, left int64
}

func (s *swelling) Read(b []byte) (int, error) {
	n, err := s.Reader.Read(b)
	if s.left -= int64(n); s.left < 0 {
		return 0, fmt.Errorf("%w: %d bytes of file unpack to more than %d", ErrSwollen, s.size, mostUnpacked(s.size))
	}
	return n, err
}

// decodeZip reads a 3MF package, or the one part file of an archive.
func (p *Part) decodeZip(r io.ReaderAt, size int64) ([]*Mesh, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrTruncated, err)
	}
	models, err := lookOver(z, size)
	if err != nil {
		return nil, err
	}
	if len(models) > 0 {
		p.Format = "3MF"
		package3MF, err := readModels(models)
		if err != nil {
			return nil, err
		}
		p.StatedMM = package3MF.unitMM()
		return package3MF.bodies()
	}
	var files []*zip.File
	for _, f := range z.File {
		if base := path.Base(f.Name); !f.FileInfo().IsDir() && !strings.HasPrefix(base, ".") && !strings.HasPrefix(f.Name, "__MACOSX/") {
			files = append(files, f)
		}
	}
	// A part comes with its licence and pictures: the names tell it apart.
	other := func(f *zip.File) bool {
		return !slices.Contains([]string{".stl", ".3mf", ".obj", ".ply"}, strings.ToLower(path.Ext(f.Name)))
	}
	if parts := slices.DeleteFunc(slices.Clone(files), other); len(parts) > 0 {
		files = parts
	}
	switch {
	case len(files) == 0:
		return nil, fmt.Errorf("%w: an archive without a file", ErrNotPart)
	case len(files) > 1:
		var names []string
		for _, f := range files {
			names = append(names, f.Name)
		}
		return nil, fmt.Errorf("%w (%.200s): unpack it and name one of them", ErrManyParts, strings.Join(names, ", "))
	}
	unpacked, err := files[0].Open()
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrTruncated, err)
	}
	defer unpacked.Close()
	return p.decodePacked(unpacked, size, "zip")
}

// lookOver refuses archives that swell, and returns the models of a 3MF package, none for another archive. What a file unpacks to may
// be believed: the zip reader ends it at the size that its entry tells.
func lookOver(z *zip.Reader, size int64) (models []*zip.File, err error) {
	most, total := uint64(mostUnpacked(size)), uint64(0)
	if len(z.File) > maxPacked {
		return nil, fmt.Errorf("%w: %d files, at most %d are taken", ErrSwollen, len(z.File), maxPacked)
	}
	for _, f := range z.File {
		if f.UncompressedSize64 > most || total+f.UncompressedSize64 > most {
			return nil, fmt.Errorf("%w: %d bytes of file unpack to more than %d", ErrSwollen, size, most)
		}
		total += f.UncompressedSize64
		if strings.HasSuffix(strings.ToLower(f.Name), ".model") {
			models = append(models, f)
		}
	}
	return models, nil
}
