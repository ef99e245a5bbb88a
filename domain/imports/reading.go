package imports

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/scouting"
)

// Options are how a file is to be read. What is empty is found out.
type Options struct {
	SiteID    domain.ID
	CropID    domain.ID // of the cultivars that are made
	Encoding  Encoding
	Separator rune
	Decimal   rune // a point or a comma
	Dates     DateOrder
	Columns   []Kind          // what each column holds; guessed when nil
	Always    map[Kind]string // what holds for every line where no column says it
	Make      []Kind          // which names are made where there are none
	SameAs    []Alias

	Zone         *time.Location
	Now          time.Time
	NewID        func() domain.ID
	LastPosition map[domain.ID]int // the last position in each house
}

// Bounds of what is told.
const (
	MostFaults  = 2000
	previewRows = 5
)

// Fault is what is wrong at one place of the file.
type Fault struct {
	Line    int    // of the file, from 1; 0 for the file as a whole
	Column  int    // from 1; 0 for none
	Heading string // of the column
	Kind    Kind   // what the column holds, or what is missing
	Code    string
	Value   string // as the file has it
	Detail  string // in plain English
}

// Look is a look of the file with the line it begins on.
type Look struct {
	scouting.Look
	Line     int
	LookedBy string // the name in the file where none of our people has it
}

// Reading is a file as it was understood.
type Reading struct {
	Encoding   Encoding
	Separator  rune
	Decimal    rune
	Dates      DateOrder
	Headings   []string
	Columns    []Kind
	Preview    [][]string
	Lines      int // below the heading, blank ones left out
	Faults     []Fault
	BadLines   int // lines with a fault, also those beyond MostFaults
	MoreFaults int
	Names      []Name
	Making     Making
	Looks      []Look
}

// Read reads the looks of a file. Whatever is wrong is in Faults; only where there
// are none may the looks be stored.
func Read(content []byte, known Known, options Options) Reading {
	reading := Reading{Dates: options.Dates, Decimal: options.Decimal}
	text, encoding, err := TextOf(content, options.Encoding)
	reading.Encoding = encoding
	switch {
	case errors.Is(err, ErrNotUTF8):
		reading.fault(Fault{Code: "not_utf8", Detail: "The letters are not written as UTF-8; try Windows-1252."})
		return reading
	case err != nil:
		reading.fault(Fault{Code: "not_text", Detail: "This is no text file. Save the sheet as CSV and choose that."})
		return reading
	}
	reading.readRows(text, known, options)
	return reading
}

func (g *Reading) readRows(text string, known Known, options Options) {
	g.Separator = options.Separator
	if g.Separator == 0 {
		g.Separator, _, _ = separatorLine(text)
	}
	if g.Separator == 0 {
		g.Separator = separatorOf(text)
	}
	var rows []row
	eachRow(text, g.Separator, func(r row) {
		if !r.isBlank() {
			rows = append(rows, r)
		}
	}, func(line int) {
		g.BadLines++
		g.fault(Fault{Line: line, Code: "broken_quotes", Detail: "A quotation mark in this line has no partner."})
	})
	if len(rows) == 0 {
		g.fault(Fault{Code: "empty", Detail: "There is no line in it."})
		return
	}
	g.Headings, rows = rows[0].cells, rows[1:]
	g.Lines = len(rows)
	if g.Lines > MostLines {
		g.fault(Fault{Code: "too_many_lines", Detail: fmt.Sprintf("Only %d lines are taken at once; cut the file in two.", MostLines)})
		return
	}
	for _, r := range rows[:min(previewRows, len(rows))] {
		g.Preview = append(g.Preview, r.cells)
	}
	g.Columns = make([]Kind, len(g.Headings))
	if options.Columns == nil {
		copy(g.Columns, Guess(g.Headings))
	} else {
		copy(g.Columns, options.Columns)
	}
	t := &lines{Reading: g, options: options, names: registerOf(known, options), column: map[Kind]int{}, byKey: map[string]int{}}
	if !t.findColumns() || !t.settle(rows) {
		return
	}
	for _, r := range rows {
		t.read(r)
	}
	t.check()
	t.finish()
}

func (g *Reading) fault(f Fault) {
	if len(g.Faults) >= MostFaults {
		g.MoreFaults++
		return
	}
	g.Faults = append(g.Faults, f)
}

// lines reads the lines of one file.
type lines struct {
	*Reading
	options Options
	names   *register
	column  map[Kind]int
	byKey   map[string]int // which of Looks a key of the file names
	faulty  bool           // the line that is being read
}

// findColumns places the kinds, and tells which are named twice or missing.
func (t *lines) findColumns() bool {
	sound := true
	for at, kind := range t.Columns {
		if kind == "" {
			continue
		}
		if _, twice := t.column[kind]; twice {
			t.fault(Fault{Column: at + 1, Heading: t.Headings[at], Kind: kind, Code: "column_twice", Detail: "Two columns are said to hold the same."})
			sound = false
		}
		t.column[kind] = at
	}
	_, percent := t.column[InfestedPercent]
	for _, kind := range Needed() {
		if t.has(kind) {
			continue
		}
		sound = false
		if percent && (kind == PlantsLookedAt || kind == InfestedPlants) {
			at := t.column[InfestedPercent]
			t.fault(Fault{Column: at + 1, Heading: t.Headings[at], Kind: kind, Code: "percent_without_counts", Detail: percentAlone})
			continue
		}
		t.fault(Fault{Kind: kind, Code: "column_missing", Detail: fmt.Sprintf("No column holds %s.", kind)})
	}
	return sound
}

const percentAlone = "A percentage without its two counts is not taken: 20 % may be 1 of 5 plants or 40 of 200, and these say very different things."

func (t *lines) has(kind Kind) bool {
	_, column := t.column[kind]
	return column || t.options.Always[kind] != ""
}

// settle finds out how dates and decimals are written.
func (t *lines) settle(rows []row) bool {
	if t.Decimal == 0 {
		t.Decimal = '.'
		if t.Separator == ';' {
			t.Decimal = ','
		}
	}
	if t.Dates != "" {
		return true
	}
	var cells []string
	for _, kind := range []Kind{LookedOn, ArrivedOn} {
		for _, r := range rows {
			cells = append(cells, t.cell(r, kind))
		}
	}
	if t.Dates = orderOf(cells); t.Dates == "" {
		at := t.column[LookedOn]
		t.fault(Fault{
			Column: at + 1, Heading: t.Headings[at], Kind: LookedOn, Code: "date_order_unclear", Value: t.cell(rows[0], LookedOn),
			Detail: "The dates can be read in two ways. Say whether the day or the month comes first.",
		})
		return false
	}
	return true
}

// cell gives what a line says of a kind.
func (t *lines) cell(r row, kind Kind) string {
	if at, ok := t.column[kind]; ok {
		if text := r.cell(at); text != "" {
			return text
		}
	}
	return t.options.Always[kind]
}

// wrong notes a fault of a line.
func (t *lines) wrong(r row, kind Kind, code, format string, args ...any) {
	f := Fault{Line: r.line, Kind: kind, Code: code, Value: t.cell(r, kind), Detail: fmt.Sprintf(format, args...)}
	if at, ok := t.column[kind]; ok {
		f.Column, f.Heading = at+1, t.Headings[at]
	}
	t.faulty = true
	t.fault(f)
}

// check holds the looks against the rules that every look is held against.
func (t *lines) check() {
	for _, look := range t.Looks {
		var faults domain.Faults
		if !errors.As(look.Check(), &faults) {
			continue
		}
		t.BadLines++
		for _, f := range faults {
			t.fault(Fault{Line: look.Line, Code: f.Code, Kind: kindAt(f.Path), Detail: strings.ToUpper(f.Detail[:1]) + f.Detail[1:] + "."})
		}
	}
}

// kindAt gives the kind that a part of a look is read from.
func kindAt(path string) Kind {
	for end, kind := range map[string]Kind{
		"/organism_id": OrganismName, "/infested_plants": InfestedPlants, "/crop_stage": CropStage, "/hot_spot": HotSpot, "/seconds": Seconds,
	} {
		if strings.HasSuffix(path, end) {
			return kind
		}
	}
	return ""
}

// finish puts what was found in order.
func (t *lines) finish() {
	for i := range t.names.making.Lots {
		t.names.making.Lots[i].Plants = t.names.most[t.names.making.Lots[i].ID]
	}
	t.Names, t.Making = t.names.names(), t.names.making
	slices.SortStableFunc(t.Faults, func(a, b Fault) int { return cmp.Or(a.Line-b.Line, a.Column-b.Column) })
	if len(t.Faults) > 0 || t.MoreFaults > 0 {
		t.Looks = nil
	}
}
