package domain

import (
	"fmt"
	"strings"
)

// Fault is one thing wrong with a value that has the right shape.
type Fault struct {
	Path   string // which part, as a JSON Pointer into the record: /targets/0/tally
	Code   string // a fixed word for programs and for translation
	Detail string // the same in plain English, with the numbers
}

// Faults are all the things wrong with a value. The zero value is ready to use.
type Faults []Fault

// Add notes a fault at path.
func (f *Faults) Add(path, code, format string, args ...any) {
	*f = append(*f, Fault{path, code, fmt.Sprintf(format, args...)})
}

// Need notes a missing value unless it is there.
func (f *Faults) Need(there bool, path string) {
	if !there {
		f.Add(path, "missing", "is needed")
	}
}

// Err gives the faults as an error, or nil when there are none.
func (f Faults) Err() error {
	if len(f) == 0 {
		return nil
	}
	return f
}

// Error joins the faults into one line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, x := range f {
		lines[i] = x.Path + ": " + x.Detail
	}
	return strings.Join(lines, "; ")
}
