package stock

import (
	"strings"
	"unicode"

	"benchtrail/domain"
)

// MostPastedLots is how many lots are read from one pasted list.
const MostPastedLots = 500

// mostPastedPlants is the largest number that is taken for a count of plants.
const mostPastedPlants = 10_000_000

// PastedLot is a line of a supplier's list as it was understood. Names that are
// known are given as we write them, others as they were pasted.
type PastedLot struct {
	Line                                    int // of the pasted text, from 1
	Text                                    string
	CultivarName, FarmName, SupplierLotCode string
	CultivarID, FarmID                      domain.ID // zero when not known
	Plants                                  int       // 0 when not understood
	Form                                    Form      // empty when not named
	Faults                                  domain.Faults
}

// Complete reports whether a lot can be made of the line. A farm that is not
// known does not stand in the way: it can be named later.
func (p PastedLot) Complete() bool {
	for _, fault := range p.Faults {
		if fault.Code != "farm_not_known" {
			return false
		}
	}
	return true
}

// Known is what the names of a list are looked up in.
type Known struct {
	Cultivars []Cultivar
	Farms     []Farm
}

// ReadPasted reads lots out of a supplier's list: cells between tabs, semicolons,
// commas or wide gaps, with or without a row of column names in English or
// Spanish. Of the ways to cut the text into cells it takes the one by which it
// understands most. Blank lines and lines of totals are no lots; every other line
// is, with faults where it was not understood, so that none is lost unseen. After
// MostPastedLots the last lot carries the fault too_many_lines.
func ReadPasted(text string, known Known) []PastedLot {
	lines, more := linesOf(text)
	names := bookOf(known)
	var best []PastedLot
	most := -1
	for _, cut := range []cutter{atTabs, atSemicolons, atGaps, atCommasBetweenWords, atCommas} {
		lots, understood := tableOf(lines, cut, names).read(names)
		if understood > most {
			best, most = lots, understood
		}
	}
	if len(best) > MostPastedLots {
		more += len(best) - MostPastedLots
		best = best[:MostPastedLots]
	}
	if more > 0 && len(best) > 0 {
		best[len(best)-1].Faults.Add("/line", "too_many_lines", "only %d lots are read at once; %d more lines follow", MostPastedLots, more)
	}
	return best
}

type pastedLine struct {
	number int
	text   string
}

// linesOf gives the lines that hold something, as many as can matter, and counts
// those after them.
func linesOf(text string) (lines []pastedLine, more int) {
	text = strings.TrimPrefix(strings.ToValidUTF8(text, "\uFFFD"), "\uFEFF")
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	number := 0
	for line := range strings.SplitSeq(text, "\n") {
		number++
		switch {
		case strings.TrimSpace(line) == "":
		case len(lines) < 2*MostPastedLots:
			lines = append(lines, pastedLine{number, line})
		default:
			more++
		}
	}
	return lines, more
}

// book finds records by their name.
type book struct {
	cultivars map[string][]Cultivar
	farms     map[string][]Farm
}

func bookOf(known Known) book {
	b := book{map[string][]Cultivar{}, map[string][]Farm{}}
	for _, c := range known.Cultivars {
		b.cultivars[NameKey(c.Name)] = append(b.cultivars[NameKey(c.Name)], c)
	}
	for _, f := range known.Farms {
		b.farms[NameKey(f.Name)] = append(b.farms[NameKey(f.Name)], f)
	}
	// A cell without letters and digits is the name of nothing.
	delete(b.cultivars, "")
	delete(b.farms, "")
	return b
}

func (b book) hasCultivar(cell string) bool { return len(b.cultivars[NameKey(cell)]) > 0 }
func (b book) hasFarm(cell string) bool     { return len(b.farms[NameKey(cell)]) > 0 }

// read turns the rows into lots and counts the cells that were understood.
func (t table) read(names book) (lots []PastedLot, understood int) {
	for _, row := range t.rows {
		lot := PastedLot{Line: row.number, Text: strings.TrimSpace(row.text)}
		understood += lot.readCultivar(row.cell(t.columns[cultivarColumn]), names)
		understood += lot.readPlants(row.cell(t.columns[plantsColumn]))
		understood += lot.readFarm(row.cell(t.columns[farmColumn]), names)
		if lot.SupplierLotCode = row.cell(t.columns[lotColumn]); lot.SupplierLotCode != "" {
			understood++
		}
		if lot.Form = formOf(row.cell(t.columns[formColumn])); lot.Form != "" {
			understood++
		}
		lots = append(lots, lot)
	}
	return lots, understood
}

func (p *PastedLot) readCultivar(cell string, names book) int {
	const path = "/cultivar_name"
	p.CultivarName = cell
	found := names.cultivars[NameKey(cell)]
	switch {
	case cell == "":
		p.Faults.Need(false, path)
	case len(found) == 1:
		p.CultivarID, p.CultivarName = found[0].ID, found[0].Name
		return 1
	case len(found) == 0:
		p.Faults.Add(path, "cultivar_not_known", "no cultivar is called %q", cell)
	default:
		p.Faults.Add(path, "cultivar_not_known", "%d cultivars are called %q", len(found), cell)
	}
	return 0
}

func (p *PastedLot) readPlants(cell string) int {
	const path = "/plants"
	plants, ok := wholeNumber(cell)
	switch {
	case cell == "":
		p.Faults.Need(false, path)
	case !ok:
		p.Faults.Add(path, "plants_not_a_number", "%q is not a whole number up to %d", cell, mostPastedPlants)
	case plants < 1:
		p.Faults.Add(path, "too_small", "a lot of %d plants is not a lot", plants)
	default:
		p.Plants = plants
		return 1
	}
	return 0
}

func (p *PastedLot) readFarm(cell string, names book) int {
	p.FarmName = cell
	found := names.farms[NameKey(cell)]
	switch {
	case cell == "":
	case len(found) == 1:
		p.FarmID, p.FarmName = found[0].ID, found[0].Name
		return 1
	default:
		p.Faults.Add("/farm_name", "farm_not_known", "%d farms of the supplier are called %q", len(found), cell)
	}
	return 0
}

// wholeNumber reads 1000, and the same with a mark between thousands: 1,000,
// 1.000, 1'000 or 1 000.
func wholeNumber(cell string) (int, bool) {
	var mark rune
	number, inGroup, groups := 0, 0, 0
	for _, r := range cell {
		if r >= '0' && r <= '9' {
			inGroup++
			number = number*10 + int(r-'0')
			if number > mostPastedPlants || groups > 0 && inGroup > 3 {
				return 0, false
			}
			continue
		}
		if unicode.IsSpace(r) { // no-break and narrow spaces too
			r = ' '
		}
		first := groups == 0
		if !strings.ContainsRune(",.'’ ", r) || !first && (r != mark || inGroup != 3) || first && (inGroup < 1 || inGroup > 3 || number == 0) {
			return 0, false
		}
		mark, inGroup, groups = r, 0, groups+1
	}
	return number, inGroup > 0 && (groups == 0 || inGroup == 3)
}

// formOf reads the usual words for how far rooted a cutting is (common practice).
func formOf(cell string) Form {
	switch NameKey(cell) {
	case "unrooted", "unrootedcutting", "unrootedcuttings", "urc", "sinraiz", "sinenraizar", "noenraizado", "noenraizada":
		return Unrooted
	case "callused", "calloused", "callusedcutting", "callusedcuttings", "concallo", "calloso", "callosa", "encallado", "encallada":
		return Callused
	case "rooted", "rootedcutting", "rootedcuttings", "liner", "liners", "rooteds", "conraiz", "enraizado", "enraizada":
		return Rooted
	}
	return ""
}
