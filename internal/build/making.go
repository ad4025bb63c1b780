package build

// This file holds a set in the making: each part meshed, written, read back and proved, its sheets, the plates, the manifest.

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"runtime"
	"strings"
	"sync"

	"tryring/internal/check"
	"tryring/internal/mesh"
	"tryring/internal/whole"

	"golang.org/x/sync/errgroup"
)

// making is a set in the making.
type making struct {
	Set
	store    whole.Store
	progress Progress
	// earlier are the keys of what may be kept.
	earlier    map[string]string
	lock       sync.Mutex
	digests    map[string]string
	kept, done int
}

func (m *making) readEarlier(manifest string) error {
	if m.Earlier == nil {
		return nil
	}
	f, err := m.store.Open(manifest)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	m.earlier, err = m.Earlier(f)
	return named(m.store.Path(manifest), errors.Join(err, f.Close()))
}

func (m *making) make(ctx context.Context, names []string) error {
	if err := onAllCores(ctx, m.Parts, m.part); err != nil {
		return err
	}
	if err := onAllCores(ctx, m.Plates, m.plate); err != nil {
		return err
	}
	for _, s := range m.Sheets {
		if err := m.sheet(s); err != nil {
			return err
		}
	}
	if m.Manifest == nil {
		return ctx.Err()
	}
	return errors.Join(m.manifest(m.Name, m.Manifest, names), ctx.Err())
}

// onAllCores does a piece of work for each of all; the first error, or the end of ctx, stops those that have not begun.
func onAllCores[T any](ctx context.Context, all []T, do func(context.Context, T) error) error {
	work, ctx := errgroup.WithContext(ctx)
	work.SetLimit(runtime.GOMAXPROCS(0))
	for _, one := range all {
		work.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			return do(ctx, one)
		})
	}
	return work.Wait()
}

// part makes one part, or keeps it.
func (m *making) part(ctx context.Context, p Part) error {
	if m.keep(p.Name, p.Key, p.Names()) {
		return nil
	}
	body, err := p.Mesh(ctx)
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		return named(p.Name, err)
	}
	var work errgroup.Group
	work.Go(func() error { return m.solid(&work, p, body) })
	work.Go(func() error {
		_, err := m.add3MF(p.Name, p.Title, []mesh.Object{{Name: path.Base(p.Name), Mesh: body}})
		return err
	})
	if err := work.Wait(); err != nil {
		return err
	}
	if p.Manifest != nil {
		if err := m.manifest(p.Name, p.Manifest, p.Names()); err != nil {
			return err
		}
	}
	m.step()
	return nil
}

// solid writes the part's STL file, proves that it holds the body, and has the sheets written as soon as it is judged.
func (m *making) solid(work *errgroup.Group, p Part, body *mesh.Mesh) error {
	name := p.Name + stlEnding
	if err := m.add(name, func(w io.Writer) error { return mesh.EncodeSTL(w, body, stlHeader(p.Title)) }); err != nil {
		return err
	}
	s, err := m.readSTL(name)
	if err != nil {
		return err
	}
	s.Soundness = mesh.Audit(s.Mesh)
	if err := errors.Join(s.holds(body), s.sound(), p.Judge(s)); err != nil {
		return named(m.store.Path(name), err)
	}
	for _, sheet := range p.Sheets {
		work.Go(func() error { return m.sheet(sheet) })
	}
	return nil
}

// readSTL reads an STL file of the store back, with the reader that is not ours; its soundness is not judged yet.
func (m *making) readSTL(name string) (Solid, error) {
	f, err := m.store.Open(name)
	if err != nil {
		return Solid{}, named(m.store.Path(name), err)
	}
	body, err := mesh.ReadBack(f)
	if err := errors.Join(err, f.Close()); err != nil {
		return Solid{}, fmt.Errorf("%s: reading back: %w", m.store.Path(name), err)
	}
	return Solid{Mesh: body, Bytes: f.Size()}, nil
}

// add3MF writes objects as NAME.3mf, reads them back, and returns what was read: the same to the bit.
func (m *making) add3MF(name, title string, objects []mesh.Object) ([]mesh.Object, error) {
	name += threeMFEnding
	meta := mesh.Meta{Title: title, Description: check.Caution}
	if err := m.add(name, func(w io.Writer) error { return mesh.Encode3MF(w, objects, meta) }); err != nil {
		return nil, err
	}
	f, err := m.store.Open(name)
	if err != nil {
		return nil, named(m.store.Path(name), err)
	}
	found, _, err := mesh.Read3MF(f, f.Size())
	if err := errors.Join(err, f.Close()); err != nil {
		return nil, fmt.Errorf("%s: reading back: %w", m.store.Path(name), err)
	}
	return found, named(m.store.Path(name), same(found, objects))
}

// sheet writes a sheet, or keeps it when it would come out the same.
func (m *making) sheet(s Sheet) error {
	var text bytes.Buffer
	if err := s.Write(&text); err != nil {
		return named(m.store.Path(s.Name), err)
	}
	sum := sha256.Sum256(text.Bytes())
	if digest := hex.EncodeToString(sum[:]); m.store.Kept(s.Name) == digest {
		m.note(s.Name, digest, 1)
		return nil
	}
	return m.add(s.Name, func(w io.Writer) error {
		_, err := w.Write(text.Bytes())
		return err
	})
}

// manifest writes NAME.json.
func (m *making) manifest(name string, tell func(Files) any, names []string) error {
	told := tell(m.files(names))
	return m.sheet(Sheet{Name: name + manifestEnding, Write: func(w io.Writer) error {
		enc := json.NewEncoder(w)
		enc.SetIndent("", "  ")
		enc.SetEscapeHTML(false)
		return enc.Encode(told)
	}})
}

// add writes a file and notes its digest.
func (m *making) add(name string, encode func(io.Writer) error) error {
	h := sha256.New()
	if err := m.store.Add(name, func(w io.Writer) error { return encode(io.MultiWriter(w, h)) }); err != nil {
		return named(m.store.Path(name), err)
	}
	m.note(name, hex.EncodeToString(h.Sum(nil)), 0)
	return nil
}

// keep says whether files of the given names are there already, made from the same.
func (m *making) keep(name, key string, names []string) bool {
	if key == "" || m.earlier[name] != key {
		return false
	}
	for _, n := range names {
		if m.store.Kept(n) == "" {
			return false
		}
	}
	for _, n := range names {
		m.note(n, m.store.Kept(n), 1)
	}
	m.step()
	return true
}

func (m *making) note(name, digest string, kept int) {
	m.lock.Lock()
	defer m.lock.Unlock()
	m.digests[name], m.kept = digest, m.kept+kept
}

// files are those of the given names.
func (m *making) files(names []string) Files {
	m.lock.Lock()
	defer m.lock.Unlock()
	f := Files{Digests: map[string]string{}}
	for _, name := range names {
		f.Paths = append(f.Paths, m.store.Path(name))
		if digest, there := m.digests[name]; there {
			f.Digests[name] = digest
		}
	}
	return f
}

// step counts one more part or plate.
func (m *making) step() {
	m.lock.Lock()
	defer m.lock.Unlock()
	if m.done++; m.progress != nil {
		m.progress(m.done, len(m.Parts)+len(m.Plates))
	}
}

// named puts the file's name before err.
func named(name string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: %w", name, err)
}

// stlHeaderBytes is the room for words in a binary STL file.
const stlHeaderBytes = 80

// cutShort ends a header that has no room for all of its title.
const cutShort = " ..."

// stlHeader is a title in the letters and the room that an STL file has, cut between words; "1 7/8" is one.
func stlHeader(title string) string {
	text := strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, "mm "+strings.ReplaceAll(title, "±", "+-"))
	if len(text) <= stlHeaderBytes {
		return text
	}
	digit := func(b byte) bool { return b >= '0' && b <= '9' }
	end := stlHeaderBytes - len(cutShort)
	for end > 0 && (text[end] != ' ' || digit(text[end-1]) && digit(text[end+1])) {
		end--
	}
	return text[:end] + cutShort
}
