package imports

import (
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode"
)

// Bounds of a file.
const (
	MostLines   = 100_000
	MostColumns = 100
)

// row is one line of the table; cells stand in quotes over several lines of the
// file at times, so line is where it begins.
type row struct {
	line  int
	cells []string
}

// cell gives the cell of a column, from 0, and nothing for one the row lacks.
func (r row) cell(column int) string {
	if column < 0 || column >= len(r.cells) {
		return ""
	}
	return r.cells[column]
}

func (r row) isBlank() bool {
	for _, cell := range r.cells {
		if cell != "" {
			return false
		}
	}
	return true
}

// Separators are what may stand between cells.
const Separators = ",;\t|"

// separatorLine reads a first line such as sep=; that spreadsheets write and read.
func separatorLine(text string) (separator rune, rest string, skipped int) {
	line, after, _ := strings.Cut(text, "\n")
	line = strings.Trim(strings.TrimSuffix(line, "\r"), `"`)
	if len(line) == 5 && strings.EqualFold(line[:4], "sep=") && strings.ContainsRune(Separators, rune(line[4])) {
		return rune(line[4]), after, 1
	}
	return 0, text, 0
}

// separatorOf finds out what stands between the cells: that which cuts the first
// lines into the most cells, equally many in each.
func separatorOf(text string) rune {
	best, most := ',', 0
	for _, separator := range Separators {
		reader := readerOf(text, separator)
		score, first := 0, 0
		for range 20 {
			cells, err := reader.Read()
			if errors.Is(err, io.EOF) {
				break
			}
			switch {
			case err != nil:
				score--
			case first == 0:
				first = len(cells)
				score += 4 * (len(cells) - 1)
			case len(cells) == first && first > 1:
				score += 2
			case len(cells) != first:
				score--
			}
		}
		if score > most {
			best, most = separator, score
		}
	}
	return best
}

func readerOf(text string, separator rune) *csv.Reader {
	reader := csv.NewReader(strings.NewReader(text))
	reader.Comma, reader.FieldsPerRecord, reader.ReuseRecord = separator, -1, true
	return reader
}

// eachRow goes through the rows of a table (RFC 4180), the heading first. A line
// whose quotes are broken is told to broken, and the reading goes on after it. What
// follows MostLines is not read.
func eachRow(text string, separator rune, do func(row), broken func(line int)) {
	given, text, skipped := separatorLine(text)
	if given != 0 && separator == 0 {
		separator = given
	}
	if separator == 0 {
		separator = separatorOf(text)
	}
	// A lone carriage return ends a line in files of old machines.
	if !strings.Contains(text, "\n") {
		text = strings.ReplaceAll(text, "\r", "\n")
	}
	reader := readerOf(text, separator)
	for range MostLines + 2 {
		cells, err := reader.Read()
		var wrong *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			return
		case errors.As(err, &wrong):
			broken(wrong.StartLine + skipped)
			continue
		case err != nil:
			return
		}
		line, _ := reader.FieldPos(0)
		r := row{line: line + skipped, cells: make([]string, min(len(cells), MostColumns))}
		for i := range r.cells {
			r.cells[i] = plain(cells[i])
		}
		do(r)
	}
}

// plain takes from a cell what belongs to the sheet and not to its text: space
// around it, and the form ="07-01" by which a spreadsheet is told that it is text.
func plain(cell string) string {
	cell = strings.TrimFunc(cell, func(r rune) bool { return unicode.IsSpace(r) || r == '\ufeff' })
	if len(cell) >= 3 && strings.HasPrefix(cell, `="`) && strings.HasSuffix(cell, `"`) {
		cell = strings.ReplaceAll(cell[2:len(cell)-1], `""`, `"`)
	}
	return strings.TrimSpace(cell)
}
