package report

import "fmt"

// Severity says how much a diagnostic weighs. Severities compare as numbers:
// StopWork > Caution > Note. The zero value is StopWork, so that a forgotten
// severity errs on the safe side.
type Severity int

const (
	Note     Severity = -2 // worth knowing; nothing to do
	Caution  Severity = -1 // work may go on, with eyes open
	StopWork Severity = 0  // nothing may be built from this
)

// severityNames holds the spelling of each severity, in files and on screens.
var severityNames = map[Severity]string{Note: "note", Caution: "caution", StopWork: "stop-work"}

// String gives the severity's name: "note", "caution" or "stop-work".
func (s Severity) String() string {
	if name, ok := severityNames[s]; ok {
		return name
	}
	return fmt.Sprintf("severity(%d)", int(s))
}

// MarshalText gives the severity's name.
func (s Severity) MarshalText() ([]byte, error) {
	if _, ok := severityNames[s]; !ok {
		return nil, fmt.Errorf("there is no severity number %d", int(s))
	}
	return []byte(s.String()), nil
}

// UnmarshalText reads a severity's name.
func (s *Severity) UnmarshalText(text []byte) error {
	for severity, name := range severityNames {
		if name == string(text) {
			*s = severity
			return nil
		}
	}
	return fmt.Errorf("%q is not a severity; expected note, caution or stop-work", text)
}

// Kind separates faults of a text from faults of what the text describes.
type Kind int

const (
	Document Kind = iota // the text cannot be understood; StopWork reads "error"
	Finding              // a rule speaks about the thing described; StopWork reads "stop-work"
)

// MarshalText gives "document" or "finding".
func (k Kind) MarshalText() ([]byte, error) {
	switch k {
	case Document:
		return []byte("document"), nil
	case Finding:
		return []byte("finding"), nil
	}
	return nil, fmt.Errorf("there is no kind number %d", int(k))
}

// UnmarshalText reads "document" or "finding".
func (k *Kind) UnmarshalText(text []byte) error {
	switch string(text) {
	case "document":
		*k = Document
	case "finding":
		*k = Finding
	default:
		return fmt.Errorf("%q is not a kind; expected document or finding", text)
	}
	return nil
}
