package stock_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func named(n byte) domain.ID { return domain.ID{0: 5, 15: n} }

var (
	frostveil = stock.Cultivar{ID: named(1), Name: "Frostveil"}
	nino      = stock.Cultivar{ID: named(2), Name: "Niño Rojo"}
	total     = stock.Cultivar{ID: named(3), Name: "Total Dusk"}
	northFarm = stock.Farm{ID: named(4), Name: "North Farm"}
	elCerro   = stock.Farm{ID: named(5), Name: "Él Cerro"}
	invented  = stock.Known{Cultivars: []stock.Cultivar{frostveil, nino, total}, Farms: []stock.Farm{northFarm, elCerro}}
)

// read gives what was understood of a list, a line each.
func read(text string) []string {
	lots := []string{}
	for _, lot := range stock.ReadPasted(text, invented) {
		line := fmt.Sprintf("%d: %s, %d", lot.Line, lot.CultivarName, lot.Plants)
		if lot.CultivarID.IsZero() {
			line += ", unknown"
		}
		for _, more := range []string{lot.FarmName, lot.SupplierLotCode, string(lot.Form)} {
			if more != "" {
				line += ", " + more
			}
		}
		for _, fault := range lot.Faults {
			line += " | " + fault.Path + " " + fault.Code
		}
		lots = append(lots, line)
	}
	return lots
}

func lines(all ...string) string { return strings.Join(all, "\n") }

func TestAListIsReadHoweverItsCellsAreParted(t *testing.T) {
	t.Parallel()
	for name, text := range map[string]string{
		"spreadsheet cells":        "Frostveil\t1000\tNorth Farm\nNiño Rojo\t950\tÉl Cerro",
		"semicolons":               "Frostveil;1000;North Farm\nNiño Rojo;950;Él Cerro",
		"commas":                   "Frostveil,1000,North Farm\nNiño Rojo,950,Él Cerro",
		"commas and spaces":        "Frostveil, 1000, North Farm\nNiño Rojo, 950, Él Cerro",
		"commas, aligned":          "Frostveil,  1000,  North Farm\nNiño Rojo,  950,   Él Cerro",
		"commas, one wide gap":     "Frostveil, 1000,  North Farm\nNiño Rojo, 950,  Él Cerro",
		"gaps of an e-mail":        "Frostveil    1000   North Farm\nNiño Rojo     950   Él Cerro",
		"gaps and thousands":       "Frostveil    1,000   North Farm\nNiño Rojo      950   Él Cerro",
		"commas and thousands":     "Frostveil,1,000,North Farm\nNiño Rojo,950,Él Cerro",
		"tabs and thousands":       "Frostveil\t1,000\tNorth Farm\nNiño Rojo\t950\tÉl Cerro",
		"quotes (RFC 4180)":        "\"Frostveil\",\"1,000\",\"North Farm\"\n\"Niño Rojo\",\"950\",\"Él Cerro\"",
		"other line ends":          "Frostveil;1000;North Farm\r\nNiño Rojo;950;Él Cerro\r\n",
		"old line ends":            "Frostveil;1000;North Farm\rNiño Rojo;950;Él Cerro",
		"a byte order mark":        "\ufeffFrostveil;1000;North Farm\nNiño Rojo;950;Él Cerro",
		"other case and accents":   "FROST VEIL;1000;north  farm\nnino rojo;950;EL CERRO",
		"accents written apart":    "Frostveil;1000;North Farm\nNin\u0303o Rojo;950;E\u0301l Cerro",
		"quotes around a cultivar": "'Frostveil';1000;North Farm\n'Niño Rojo';950;Él Cerro",
		"plants first":             "1000;Frostveil;North Farm\n950;Niño Rojo;Él Cerro",
		"numbered lines":           "1;Frostveil;1000;North Farm\n2;Niño Rojo;950;Él Cerro",
		"farm first":               "North Farm\tFrostveil\t1000\nÉl Cerro\tNiño Rojo\t950",
	} {
		require.Equal(t, []string{"1: Frostveil, 1000, North Farm", "2: Niño Rojo, 950, Él Cerro"}, read(text), name)
	}
}

func TestColumnNamesAreReadInBothLanguages(t *testing.T) {
	t.Parallel()
	want := []string{"2: Frostveil, 1000, North Farm, A-17, unrooted", "3: Niño Rojo, 950, Él Cerro, 204, rooted"}
	for name, text := range map[string]string{
		"English":             "Variety\tQty\tFarm\tLot\tForm\nFrostveil\t1,000\tNorth Farm\tA-17\tURC\nNiño Rojo\t950\tÉl Cerro\t204\trooted",
		"Spanish":             "Variedad;Cantidad;Finca;Código;Forma\nFrostveil;1.000;North Farm;A-17;sin raíz\nNiño Rojo;950;Él Cerro;204;enraizado",
		"in another order":    "LOTE;FORMA;GRANJA;PLANTAS;CULTIVAR\nA-17;Unrooted;North Farm;1 000;Frostveil\n204;Liner;Él Cerro;950;Niño Rojo",
		"with others between": "Item,Batch,Cultivar,Colour,Quantity,Form,Origin\n1,A-17,Frostveil,white,1000,unrooted,North Farm\n2,204,Niño Rojo,red,950,rooted,Él Cerro",
		"commas":              "cultivar,plants,lot,origin,form\nFrostveil,1000,A-17,North Farm,urc\nNiño Rojo,950,204,Él Cerro,rooted",
	} {
		require.Equal(t, want, read(text), name)
	}
	require.Equal(t, []string{"2: Frostveil, 100, 200", "3: Niño Rojo, 150, 300"},
		read("cultivar,plants,lot\nFrostveil,100,200\nNiño Rojo,150,300"), "two numbers side by side are no thousands")
	require.Equal(t, []string{"1: Packing list, 0, unknown | /plants missing | /cultivar_name cultivar_not_known", "4: Frostveil, 1000"},
		sortedFaults(read("Packing list\n\nVariety;Qty\nFrostveil;1000")), "a title stands above and is not lost")
	require.Equal(t, []string{"2: Frostveil, 1000", "4: Niño Rojo, 950"},
		read("Variety;Qty\nFrostveil;1000\nVariety;Qty\nNiño Rojo;950"), "the names come again on the next page")
}

// sortedFaults puts the cultivar's fault last, so that a test need not know which
// came first.
func sortedFaults(lots []string) []string {
	const cultivar = " | /cultivar_name cultivar_not_known"
	for i, lot := range lots {
		if strings.Contains(lot, cultivar) {
			lots[i] = strings.Replace(lot, cultivar, "", 1) + cultivar
		}
	}
	return lots
}

func TestThousandsAreReadInEveryWayTheyAreWritten(t *testing.T) {
	t.Parallel()
	for cell, want := range map[string]int{
		"1000": 1000, "1,000": 1000, "1.000": 1000, "1 000": 1000, "1\u00a0000": 1000, "1\u202f000": 1000, "1'000": 1000, "1’000": 1000,
		"12,500": 12500, "1.250.000": 1250000, "1": 1, "0950": 950, "10000000": 10_000_000,
	} {
		lots := stock.ReadPasted("cultivar\tplants\nFrostveil\t"+cell, invented)
		require.Len(t, lots, 1, cell)
		require.Empty(t, lots[0].Faults, cell)
		require.Equal(t, want, lots[0].Plants, cell)
		require.True(t, lots[0].Complete())
	}
	for cell, code := range map[string]string{
		"many": "plants_not_a_number", "1.5": "plants_not_a_number", "1,00": "plants_not_a_number", "1,0000": "plants_not_a_number",
		"1,000.50": "plants_not_a_number", "1,000.500": "plants_not_a_number", "-5": "plants_not_a_number", "+5": "plants_not_a_number",
		"0,500": "plants_not_a_number", "10000001": "plants_not_a_number", "99999999999999999999": "plants_not_a_number",
		"1e3": "plants_not_a_number", "0": "too_small", "": "missing",
	} {
		lots := stock.ReadPasted("cultivar\tplants\nFrostveil\t"+cell, invented)
		require.Len(t, lots, 1, cell)
		require.Zero(t, lots[0].Plants, cell)
		require.Len(t, lots[0].Faults, 1, cell)
		require.Equal(t, code, lots[0].Faults[0].Code, cell)
		require.Equal(t, "/plants", lots[0].Faults[0].Path, cell)
		require.False(t, lots[0].Complete())
	}
}

func TestALineThatIsNotUnderstoodIsKeptWithItsFaults(t *testing.T) {
	t.Parallel()
	text := lines("Variety;Qty;Farm", "Frostveil;1000;North Farm", "Icewhisper;500;North Farm", "Niño Rojo;lots;Él Cerro", ";40;", "Frostveil;;", "Frostveil;60;South Farm", "Frostveil;70;")
	require.Equal(t, []string{
		"2: Frostveil, 1000, North Farm",
		"3: Icewhisper, 500, unknown, North Farm | /cultivar_name cultivar_not_known",
		"4: Niño Rojo, 0, Él Cerro | /plants plants_not_a_number",
		"5: , 40, unknown | /cultivar_name missing",
		"6: Frostveil, 0 | /plants missing",
		"7: Frostveil, 60, South Farm | /farm_name farm_not_known",
		"8: Frostveil, 70",
	}, read(text))
	complete := []bool{}
	for _, lot := range stock.ReadPasted(text, invented) {
		complete = append(complete, lot.Complete())
	}
	require.Equal(t, []bool{true, false, false, false, false, true, true}, complete, "a farm that is not known can be named later")
	require.Equal(t, "Icewhisper;500;North Farm", stock.ReadPasted(text, invented)[1].Text)
	require.Equal(t, `no cultivar is called "Icewhisper"`, stock.ReadPasted(text, invented)[1].Faults[0].Detail)
}

func TestIDsOfKnownNamesAreGiven(t *testing.T) {
	t.Parallel()
	lot := stock.ReadPasted("nino rojo\t950\tel cerro", invented)[0]
	require.Equal(t, nino.ID, lot.CultivarID)
	require.Equal(t, elCerro.ID, lot.FarmID)
	require.Equal(t, "Niño Rojo", lot.CultivarName)
	require.Equal(t, "Él Cerro", lot.FarmName)
	unknown := stock.ReadPasted("Icewhisper\t950\tSouth", invented)[0]
	require.True(t, unknown.CultivarID.IsZero())
	require.True(t, unknown.FarmID.IsZero())
}

func TestANameOfTwoThingsIsNotGuessed(t *testing.T) {
	t.Parallel()
	twice := stock.Known{
		Cultivars: []stock.Cultivar{frostveil, {ID: named(8), Name: "Frost Veil"}},
		Farms:     []stock.Farm{northFarm, {ID: named(9), Name: "Northfarm"}},
	}
	lot := stock.ReadPasted("Frostveil\t950\tNorth Farm", twice)[0]
	require.True(t, lot.CultivarID.IsZero())
	require.True(t, lot.FarmID.IsZero())
	require.Equal(t, []string{"/cultivar_name cultivar_not_known", "/farm_name farm_not_known"}, codes(t, lot.Faults.Err()))
	require.Contains(t, lot.Faults[0].Detail, "2 cultivars")
}

func TestNumbersInNeighbouringCellsStayApart(t *testing.T) {
	t.Parallel()
	require.Equal(t, []string{"2: Frostveil, 1000, 12345", "3: Niño Rojo, 2500, 12346"},
		read("cultivar,plants,lot\nFrostveil,1,000,12345\nNiño Rojo,2,500,12346"))
	require.Equal(t, []string{"1: Frostveil, 12345"}, read("Frostveil,12345,12345"))
}

func TestAColumnHoldsOneThing(t *testing.T) {
	t.Parallel()
	known := stock.Known{Cultivars: []stock.Cultivar{frostveil}, Farms: []stock.Farm{{ID: named(6), Name: "Frostveil"}}}
	lot := stock.ReadPasted("Frostveil;1000", known)[0]
	require.Equal(t, frostveil.ID, lot.CultivarID)
	require.Empty(t, lot.FarmName, "a cultivar is not its farm, although one has its name")
}

func TestAQuoteInsideACellIsAnInch(t *testing.T) {
	t.Parallel()
	require.Equal(t, []string{"1: Frostveil, 1000, North Farm"}, read("Frostveil;1000;4\" pot;North Farm"))
	require.Equal(t, []string{"1: Frostveil, 1000, North Farm"}, read("\"Frostveil\";1000;\"pot, \"\"4 in\"\"; red\";North Farm"))
}

func TestARowWithANumberIsNoHeading(t *testing.T) {
	t.Parallel()
	require.Equal(t, []string{"1: Variety, 500, unknown | /cultivar_name cultivar_not_known", "2: Frostveil, 1000"}, read("Variety;500\nFrostveil;1000"))
}

func TestBlankLinesAndTotalsAreNoLots(t *testing.T) {
	t.Parallel()
	require.Equal(t, []string{"2: Frostveil, 1000", "4: Niño Rojo, 950", "9: Total Dusk, 40"}, read(lines(
		"", "Frostveil;1000", "   ", "Niño Rojo;950", ";;", "TOTAL;1950", "Suma: 1950", "", "Total Dusk;40", "Total plants;1990", "  total 1990", "")))
	require.Empty(t, stock.ReadPasted("", invented))
	require.Empty(t, stock.ReadPasted(" \n\t\n", invented))
	require.Empty(t, stock.ReadPasted("Total 5", invented))
}

func TestNothingIsKnownOfAnEmptyBook(t *testing.T) {
	t.Parallel()
	lots := stock.ReadPasted("Frostveil;1000\nNiño Rojo;950", stock.Known{})
	require.Len(t, lots, 2)
	for i, want := range []string{"Frostveil", "Niño Rojo"} {
		require.Equal(t, want, lots[i].CultivarName)
		require.Equal(t, []string{"/cultivar_name cultivar_not_known"}, codes(t, lots[i].Faults.Err()))
	}
	require.Equal(t, 1000, lots[0].Plants)
	blank := stock.Known{Cultivars: []stock.Cultivar{{ID: named(1), Name: "***"}}}
	require.True(t, stock.ReadPasted("---;1000", blank)[0].CultivarID.IsZero(), "marks alone are nobody's name")
}

func TestALongListSaysThatItWasCut(t *testing.T) {
	t.Parallel()
	list := func(n int) string { return "cultivar;plants\n" + strings.Repeat("Frostveil;10\n", n) + "Total;1" }
	lots := stock.ReadPasted(list(stock.MostPastedLots), invented)
	require.Len(t, lots, 500)
	require.True(t, lots[499].Complete())
	for _, n := range []int{501, 5000} {
		lots = stock.ReadPasted(list(n), invented)
		require.Len(t, lots, 500)
		require.True(t, lots[498].Complete())
		require.Equal(t, []string{"/line too_many_lines"}, codes(t, lots[499].Faults.Err()))
	}
	require.Empty(t, stock.ReadPasted(strings.Repeat("total 5\n", 5000), invented))
}

// Generous, so that a slow machine passes and work that grows with the square of
// the text does not: the longest text the contract takes, in its worst shapes.
func TestReadingIsBoundedWork(t *testing.T) {
	t.Parallel()
	known := stock.Known{}
	for i := range 2000 {
		known.Cultivars = append(known.Cultivars, stock.Cultivar{ID: domain.ID{14: byte(i >> 8), 15: byte(i)}, Name: fmt.Sprint("Cultivar ", i)})
	}
	for name, text := range map[string]string{
		"a name never ended": "Cultivar " + strings.Repeat("\u0301", 50_000),
		"one long cell":      strings.Repeat("a", 100_000),
		"one line of tabs":   strings.Repeat("\t", 100_000),
		"one line of commas": strings.Repeat("1,", 50_000),
		"quotes":             strings.Repeat(`"`, 100_000),
		"quotes, spaced":     strings.Repeat(`" `, 50_000),
		"spaces in quotes":   `"` + strings.Repeat(" ", 99_999),
		"noughts":            strings.Repeat("0", 100_000),
		"spaces between":     strings.Repeat("a"+strings.Repeat(" ", 999), 100),
		"many short lines":   strings.Repeat("a;1\n", 25_000),
		"digits":             strings.Repeat("9", 100_000),
	} {
		start := time.Now()
		lots := stock.ReadPasted(text, known)
		require.LessOrEqual(t, len(lots), stock.MostPastedLots, name)
		require.Less(t, time.Since(start), 3*time.Second, name)
		t.Logf("%s: %s", name, time.Since(start))
	}
}

// A list written out in any of the usual ways is read back as it was.
func TestAListThatWasWrittenOutIsReadBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		separator := rapid.SampledFrom([]string{"\t", ";", ", ", "   "}).Draw(t, "separator")
		mark := rapid.SampledFrom([]string{"", ",", ".", " "}).Draw(t, "thousands")
		headed := rapid.Bool().Draw(t, "headed")
		farmFirst := rapid.Bool().Draw(t, "farm first")
		var rows, want []string
		if headed {
			rows = append(rows, strings.Join(order(farmFirst, "Cultivar", "Plants", "Farm"), separator))
		}
		for range rapid.IntRange(1, 20).Draw(t, "lots") {
			cultivar := rapid.SampledFrom(invented.Cultivars).Draw(t, "cultivar").Name
			farm := rapid.SampledFrom(invented.Farms).Draw(t, "farm").Name
			plants := rapid.IntRange(1, 99_999).Draw(t, "plants")
			number := fmt.Sprint(plants)
			if plants >= 1000 {
				number = fmt.Sprintf("%d%s%03d", plants/1000, mark, plants%1000)
			}
			spelt := rapid.SampledFrom([]func(string) string{strings.ToUpper, strings.ToLower, strings.TrimSpace}).Draw(t, "spelt")
			rows = append(rows, strings.Join(order(farmFirst, spelt(cultivar), number, farm), separator))
			want = append(want, fmt.Sprintf("%d: %s, %d, %s", len(rows), cultivar, plants, farm))
		}
		require.Equal(t, want, read(strings.Join(rows, "\n")))
	})
}

func order(farmFirst bool, cultivar, plants, farm string) []string {
	if farmFirst {
		return []string{farm, cultivar, plants}
	}
	return []string{cultivar, plants, farm}
}

func FuzzReadPastedNeverInventsALot(f *testing.F) {
	f.Add("Variety\tQty\tFarm\tLot\tForm\nFrostveil\t1,000\tNorth Farm\tA-17\tURC")
	f.Add("Variedad;Cantidad\nNiño Rojo;1.000\nSuma;1.000")
	f.Add("\"Frostveil\",\"1,000\"\n\xff\xfe,\r\n\r,")
	f.Add("Frostveil   1 000   North Farm\n\n\ntotal")
	f.Add("\"\"\"\"\"\n,,,,")
	f.Fuzz(func(t *testing.T, text string) {
		lots := stock.ReadPasted(text, invented)
		require.LessOrEqual(t, len(lots), stock.MostPastedLots)
		pasted := strings.Split(strings.ReplaceAll(strings.ReplaceAll(strings.TrimPrefix(strings.ToValidUTF8(text, "\uFFFD"), "\uFEFF"), "\r\n", "\n"), "\r", "\n"), "\n")
		last := 0
		for _, lot := range lots {
			require.Greater(t, lot.Line, last, "lines come in order and once")
			last = lot.Line
			require.Equal(t, strings.TrimSpace(pasted[lot.Line-1]), lot.Text)
			require.NotEmpty(t, lot.Text)
			require.Equal(t, lot.Plants == 0, hasFault(lot, "/plants"))
			require.Equal(t, lot.CultivarID.IsZero(), hasFault(lot, "/cultivar_name"))
			require.LessOrEqual(t, len(lot.Faults), 4)
		}
		require.Equal(t, lots, stock.ReadPasted(text, invented), "the same text is read the same way")
	})
}

func hasFault(lot stock.PastedLot, path string) bool {
	for _, fault := range lot.Faults {
		if fault.Path == path {
			return true
		}
	}
	return false
}
