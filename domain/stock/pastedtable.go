package stock

import (
	"slices"
	"strings"
	"unicode"
)

// mostCells is how many cells of a line are looked at.
const mostCells = 30

// column is what a column of a pasted list holds.
type column int

const (
	cultivarColumn column = iota
	plantsColumn
	farmColumn
	lotColumn
	formColumn
	columnKinds
)

// pastedRow is a line cut into cells.
type pastedRow struct {
	pastedLine
	cells []string
}

// cell gives the cell at a place, and nothing for a place the row does not have.
func (r pastedRow) cell(at int) string {
	if at < 0 || at >= len(r.cells) {
		return ""
	}
	return r.cells[at]
}

// isBlank reports whether the row is nothing but separators.
func (r pastedRow) isBlank() bool {
	return !slices.ContainsFunc(r.cells, func(cell string) bool { return cell != "" })
}

// table is a pasted list cut into cells.
type table struct {
	rows    []pastedRow      // without the row of names and the totals
	columns [columnKinds]int // where each kind of column is; -1 for nowhere
}

// tableOf cuts the lines and finds out what the columns hold: by their names
// where the first row with several cells is a row of names, else by what is in
// them.
func tableOf(lines []pastedLine, cut cutter, names book) table {
	t := table{columns: [columnKinds]int{-1, -1, -1, -1, -1}}
	heading, mayFollow := "", true
	for _, line := range lines {
		row := pastedRow{line, cut.cells(line.text)}
		text := strings.TrimSpace(line.text)
		if mayFollow && len(row.cells) > 1 {
			mayFollow = false
			if columns, ok := headingOf(row); ok {
				heading, t.columns = text, columns
			}
		}
		if text != heading && !row.isBlank() && !isTotal(row, names) {
			t.rows = append(t.rows, row)
		}
	}
	t.guess(cultivarColumn, names.hasCultivar)
	t.guess(plantsColumn, func(cell string) bool { _, ok := wholeNumber(cell); return ok })
	t.guess(farmColumn, names.hasFarm)
	t.guess(formColumn, func(cell string) bool { return formOf(cell) != "" })
	if t.columns[cultivarColumn] < 0 {
		t.guess(cultivarColumn, func(cell string) bool { _, ok := wholeNumber(cell); return cell != "" && !ok })
	}
	return t
}

// guess puts a kind of column that is not placed yet where the most cells fit;
// among equals at the first one after the cultivar, for a list numbers its lines
// in front.
func (t *table) guess(kind column, fits func(string) bool) {
	if t.columns[kind] >= 0 {
		return
	}
	var counts [mostCells]int
	for _, row := range t.rows {
		for at, cell := range row.cells {
			if fits(cell) {
				counts[at]++
			}
		}
	}
	most := 0
	start := max(0, t.columns[cultivarColumn])
	for i := range mostCells {
		at := (start + i) % mostCells
		if counts[at] > most && !slices.Contains(t.columns[:], at) {
			most, t.columns[kind] = counts[at], at
		}
	}
}

// headingOf reads a row of column names. A row with a number in it is none.
func headingOf(row pastedRow) (columns [columnKinds]int, ok bool) {
	columns = [columnKinds]int{-1, -1, -1, -1, -1}
	for at, cell := range row.cells {
		if _, number := wholeNumber(cell); number {
			return columns, false
		}
		if kind, named := columnNamed(cell); named && columns[kind] < 0 {
			columns[kind] = at
		}
	}
	return columns, columns[cultivarColumn] >= 0 || columns[plantsColumn] >= 0
}

// columnNamed reads the name of a column (the words are common practice).
func columnNamed(cell string) (column, bool) {
	switch NameKey(cell) {
	case "cultivar", "cultivars", "cultivarname", "variety", "varieties", "varietyname", "variedad", "variedades", "cv":
		return cultivarColumn, true
	case "plants", "noofplants", "numberofplants", "quantity", "qty", "cuttings", "pieces", "pcs", "units",
		"qtyordered", "quantityordered", "cantidadpedida", "cantidad", "cant", "plantas", "nodeplantas", "numerodeplantas", "esquejes", "unidades", "uds", "piezas":
		return plantsColumn, true
	case "farm", "farmoforigin", "farmname", "origin", "finca", "fincadeorigen", "granja", "origen", "procedencia":
		return farmColumn, true
	case "lot", "lotcode", "lotno", "lotnumber", "batch", "batchcode", "batchno", "batchnumber",
		"lote", "codigo", "codigodelote", "codigodellote", "nodelote", "numerodelote":
		return lotColumn, true
	case "form", "forma", "rooting", "enraizamiento":
		return formColumn, true
	}
	return 0, false
}

// isTotal reports whether a row adds up others: its first word says so and it
// does not begin with a cultivar of such a name.
func isTotal(row pastedRow, names book) bool {
	if names.hasCultivar(row.cell(0)) {
		return false
	}
	noLetter := func(r rune) bool { return !unicode.IsLetter(r) }
	word := strings.TrimLeftFunc(row.text, noLetter)
	if end := strings.IndexFunc(word, noLetter); end >= 0 {
		word = word[:end]
	}
	return slices.Contains([]string{"total", "totals", "totales", "subtotal", "suma", "sumas"}, NameKey(word))
}

// cutter tells how many bytes of a line, from a place on, part two cells; 0 when
// none do.
type cutter func(line string, at int) int

func atTabs(line string, at int) int       { return oneIf(line[at] == '\t') }
func atSemicolons(line string, at int) int { return oneIf(line[at] == ';') }
func atCommas(line string, at int) int     { return oneIf(line[at] == ',') }

// atGaps parts cells at two or more spaces.
func atGaps(line string, at int) int {
	end := at
	for end < len(line) && line[end] == ' ' {
		end++
	}
	if end-at < 2 {
		return 0
	}
	return end - at
}

// atCommasBetweenWords leaves a comma alone that may stand between thousands.
func atCommasBetweenWords(line string, at int) int {
	if line[at] != ',' {
		return 0
	}
	digit := func(i int) bool { return i >= 0 && i < len(line) && line[i] >= '0' && line[i] <= '9' }
	thousands := digit(at-1) && digit(at+1) && digit(at+2) && digit(at+3) && !digit(at+4)
	return oneIf(!thousands)
}

func oneIf(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// cells cuts a line. A cell that begins with a quote ends at the next one, and a
// quote written twice in it is a quote (RFC 4180, section 2).
func (cut cutter) cells(line string) []string {
	line = strings.Trim(line, " \u00a0")
	var cells []string
	var cell strings.Builder
	inQuotes, started := false, false
	for at := 0; at < len(line); {
		switch {
		case inQuotes && strings.HasPrefix(line[at:], `""`):
			cell.WriteByte('"')
			at += 2
			continue
		case line[at] == '"' && (inQuotes || !started):
			inQuotes, started = !inQuotes, true
			at++
			continue
		}
		if !inQuotes {
			if width := cut(line, at); width > 0 {
				cells = append(cells, tidy(cell.String()))
				if len(cells) == mostCells {
					return cells
				}
				cell.Reset()
				started = false
				at += width
				continue
			}
		}
		started = started || line[at] != ' '
		cell.WriteByte(line[at])
		at++
	}
	return append(cells, tidy(cell.String()))
}

// tidy takes away what belongs to the list and not to the name.
func tidy(cell string) string { return strings.Trim(cell, " \t\u00a0,;") }
