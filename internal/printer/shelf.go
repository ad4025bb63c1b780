package printer

// This file holds the places where printers and what was tried on them are kept: a folder, or the memory of a page that stores
// it by itself.

// Shelf is such a place.
type Shelf interface {
	// Load are the printers, with what trials taught of them.
	Load() (Profiles, error)
	// Untried is the printer called name as it is written, and its journal.
	Untried(name string) (Profile, *Journal, error)
}

// Folder is the folder of that name; "" is none, and keeps nothing.
type Folder string

// Load is Load of the folder.
func (f Folder) Load() (Profiles, error) { return Load(string(f)) }

// Untried is Untried of the folder.
func (f Folder) Untried(name string) (Profile, *Journal, error) { return Untried(string(f), name) }

// Memory keeps the journals of the printers that come with the program.
type Memory struct {
	// Journals are the texts of journals, by the printers' names.
	Journals map[string]string
	// Changed is told of each that is another now.
	Changed func(printer, text string)
}

// Load applies the journals to the printers.
func (m *Memory) Load() (Profiles, error) {
	list, err := Load("")
	for i, p := range list {
		if p.Fault == nil {
			list[i] = p.taught(m.journal(p.Name))
		}
	}
	return list, err
}

// Untried finds the printer and its journal.
func (m *Memory) Untried(name string) (Profile, *Journal, error) {
	p, _, err := Untried("", name)
	return p, m.journal(p.Name), err
}

func (m *Memory) journal(printer string) *Journal {
	j := &Journal{Path: printer, memory: m}
	j.parse([]byte(m.Journals[printer]))
	return j
}
