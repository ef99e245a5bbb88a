package imports_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding/charmap"

	"benchtrail/domain"
	"benchtrail/domain/imports"
	"benchtrail/domain/place"
	"benchtrail/domain/stock"
)

func id(n int) domain.ID { return domain.ID{15: byte(n), 14: byte(n >> 8)} }

var (
	whitefly = id(1)
	house2   = id(2)
	block1   = id(3)
	velmorra = id(4)
	lot      = id(5)
	nora     = id(6)
	grower   = id(7)
)

func known() imports.Known {
	return imports.Known{
		Houses:    []place.House{{ID: house2, Name: "House 2"}},
		Blocks:    []place.Block{{ID: block1, HouseID: house2, Name: "2-01"}},
		Cultivars: []stock.Cultivar{{ID: velmorra, Name: "Velmorra"}},
		Suppliers: []stock.Supplier{{ID: grower, Name: "Northgate Cuttings"}},
		Organisms: []stock.Organism{
			{ID: whitefly, ScientificName: "Trialeurodes vaporariorum", CommonName: "greenhouse whitefly", CommonNameES: "mosca blanca de los invernaderos", EPPOCode: "TRIAVA"},
		},
		Lots:   []stock.Lot{{ID: lot, Code: "31-07", CultivarID: velmorra, ArrivedOn: domain.NewDate(2025, time.August, 1)}},
		People: []imports.Person{{ID: nora, Name: "Nora Field"}},
	}
}

func options() imports.Options {
	next := 1000
	zone := time.FixedZone("site", -5*3600)
	return imports.Options{
		SiteID: id(99), Zone: zone, Now: time.Date(2026, time.September, 14, 12, 0, 0, 0, time.UTC),
		NewID: func() domain.ID { next++; return id(next) },
	}
}

const heading = "date,house,block,lot,organism,plants checked,infested,observer\n"

func read(text string, change ...func(*imports.Options)) imports.Reading {
	o := options()
	for _, c := range change {
		c(&o)
	}
	return imports.Read([]byte(text), known(), o)
}

// said gives each fault as line, column, code and value.
func said(g imports.Reading) []string {
	out := []string{}
	for _, f := range g.Faults {
		out = append(out, fmt.Sprintf("%d:%d %s %s", f.Line, f.Column, f.Code, f.Value))
	}
	return out
}

func TestAFileOfLooksIsReadByItsHeadings(t *testing.T) {
	t.Parallel()
	g := read(heading + "2025-08-20,house 2,2-01,31-07,TRIAVA,60,12,nora field\n2025-08-27,House 2,2-01,,Greenhouse Whitefly,40,0,Old Hand\n")
	require.Empty(t, said(g))
	require.Len(t, g.Looks, 2)
	first := g.Looks[0]
	require.Equal(t, 2, first.Line)
	require.Equal(t, block1, first.BlockID)
	require.Equal(t, lot, first.LotID)
	require.Equal(t, nora, first.ObserverID)
	require.Equal(t, "2025-08-20T17:00:00Z", first.LookedAt.Format(time.RFC3339), "noon at the site")
	require.Equal(t, 60, first.Targets[0].PlantsLookedAt)
	require.Equal(t, 12, first.Targets[0].InfestedPlants)
	require.True(t, g.Looks[1].LotID.IsZero(), "a look may be of a lot not known")
	require.Equal(t, "Old Hand", g.Looks[1].LookedBy)
}

func TestASpanishSheetIsReadAsItsSpreadsheetWroteIt(t *testing.T) {
	t.Parallel()
	text := "sep=;\r\nFecha;Invernadero;Mesa;Variedad;Plaga;Plantas revisadas;Plantas infestadas;Observación\r\n" +
		"20/8/2025;House 2;2-01;Velmorra;Mosca blanca de los invernaderos;1.060,0;12;\"hojas \"\"viejas\"\"; envés\"\r\n"
	g := read(text, func(o *imports.Options) {
		o.Columns = slices.Insert(imports.Guess(strings.Split("Fecha;Invernadero;Mesa;Variedad;Plaga;Plantas revisadas;Plantas infestadas", ";")), 7, imports.Note)
	})
	require.Empty(t, said(g))
	require.Equal(t, ';', g.Separator)
	require.Equal(t, imports.DayMonthYear, g.Dates)
	require.Equal(t, 1060, g.Looks[0].Targets[0].PlantsLookedAt)
	require.Equal(t, `hojas "viejas"; envés`, g.Looks[0].Note)
	require.Equal(t, 3, g.Looks[0].Line, "of the file, the line of the separator counted")
}

func TestEveryBadLineIsNamedWithItsColumnAndReason(t *testing.T) {
	t.Parallel()
	good := "2025-08-20,House 2,2-01,31-07,TRIAVA,60,12,\n"
	g := read(heading + good +
		"2025-13-20,House 2,2-01,31-07,TRIAVA,60,12,\n" +
		"2025-08-20,House 9,2-01,31-07,TRIAVA,60,12,\n" +
		"2025-08-20,House 2,2-99,31-07,TRIAVA,60,12,\n" +
		"2025-08-20,House 2,2-01,40-01,TRIAVA,60,12,\n" +
		"2025-08-20,House 2,2-01,31-07,whitefly,60,12,\n" +
		"2025-08-20,House 2,2-01,31-07,TRIAVA,60,61,\n" +
		"2025-08-20,House 2,2-01,31-07,TRIAVA,60,20 %,\n" +
		"2025-08-20,House 2,2-01,31-07,TRIAVA,0,0,\n" +
		"2025-08-20,House 2,2-01,31-07,TRIAVA,sixty,,\n" +
		"2027-08-20,House 2,2-01,,TRIAVA,60,12,\n" +
		"2024-08-20,House 2,2-01,31-07,TRIAVA,60,12,\n" +
		"2025-08-20,House 2,2-01,31-07,TRIAVA,60,1\"2,\n" + good)
	require.Equal(t, []string{
		"3:1 not_a_date 2025-13-20", "4:2 not_known House 9", "5:3 not_known 2-99", "6:4 not_known 40-01", "7:5 not_known whitefly",
		"8:7 more_infested_than_looked_at 61", "9:7 percent_without_counts 20 %", "10:6 no_plants 0", "11:6 not_a_count sixty", "11:7 missing ",
		"12:1 in_the_future 2027-08-20", "13:4 not_known 31-07", "14:0 broken_quotes ",
	}, said(g))
	require.Equal(t, 12, g.BadLines)
	require.Empty(t, g.Looks)
}

func TestWhetherSignsWereLookedForIsYesOrNoAndNotGuessed(t *testing.T) {
	t.Parallel()
	g := read("date,house,block,organism,plants checked,infested,signs looked for,note\n" +
		"2025-08-20,House 2,2-01,TRIAVA,60,12,yes," + strings.Repeat("ñ", 2000) + "\n" +
		"2025-08-20,House 2,2-01,TRIAVA,60,12,no,\n" +
		"2025-08-20,House 2,2-01,TRIAVA,60,12,maybe," + strings.Repeat("ñ", 2001) + "\n")
	require.Equal(t, []string{"4:7 not_yes_or_no maybe", "4:8 too_long " + strings.Repeat("ñ", 2001)}, said(g))
}

func TestAPercentageWithoutItsCountsIsRefused(t *testing.T) {
	t.Parallel()
	g := read("date,block,organism,% infested\n2025-08-20,2-01,TRIAVA,20\n")
	require.Equal(t, []string{"0:4 percent_without_counts ", "0:4 percent_without_counts "}, said(g))

	beside := "date,block,organism,n,infested,%\n2025-08-20,2-01,TRIAVA,60,12,"
	require.Empty(t, said(read(beside+"20\n")))
	require.Empty(t, said(read(beside+"0.2\n")))
	require.Equal(t, []string{"2:6 percent_disagrees 35"}, said(read(beside+"35\n")))
}

func TestNamesAreTakenForOursOrMadeWhereAPersonSaysSo(t *testing.T) {
	t.Parallel()
	text := "date,house,block,lot,cultivar,arrival,supplier,organism,n,infested\n" +
		"2024-08-20,Old house,A,32-01,Brisa,2024-08-05,Northgate Cuttings,Fly,60,12\n" +
		"2024-08-27,Old house,B,32-01,Brisa,2024-08-05,Northgate Cuttings,Fly,80,12\n"
	require.Equal(t, "2:2 not_known Old house", said(read(text))[0])
	g := read(text, func(o *imports.Options) {
		o.Make = []imports.Kind{imports.HouseName, imports.BlockName, imports.CultivarName, imports.LotCode}
		o.CropID = id(50)
		o.SameAs = []imports.Alias{{Kind: imports.OrganismName, Name: "fly", ID: whitefly}}
	})
	require.Empty(t, said(g))
	require.Len(t, g.Making.Houses, 1)
	require.Len(t, g.Making.Blocks, 2)
	require.Equal(t, 2, g.Making.Blocks[1].Position)
	require.Len(t, g.Making.Cultivars, 1)
	require.Len(t, g.Making.Shipments, 1)
	require.Len(t, g.Making.Lots, 1)
	require.Equal(t, 80, g.Making.Lots[0].Plants, "there were at least as many as were looked at in one look")
	require.Equal(t, g.Looks[0].LotID, g.Looks[1].LotID)

	as := read("date,house,block,organism,n,infested\n2025-08-20,Nave,Mesa,TRIAVA,60,12\n", func(o *imports.Options) {
		o.SameAs = []imports.Alias{{Kind: imports.HouseName, Name: "Nave", ID: house2}, {Kind: imports.BlockName, Name: "Nave · Mesa", ID: block1}}
	})
	require.Empty(t, said(as))
	require.Equal(t, block1, as.Looks[0].BlockID)
}

func TestLinesOfOneLookAreOneLook(t *testing.T) {
	t.Parallel()
	text := "look,looked_on,looked_at,block,organism,plants_looked_at,infested_plants\n" +
		"a,2025-08-20,2025-08-20T09:05:00-05:00,2-01,TRIAVA,60,12\n" +
		"b,2025-08-20,10:15,2-01,TRIAVA,60,12\n"
	g := read(text)
	require.Empty(t, said(g))
	require.Len(t, g.Looks, 2)
	require.Equal(t, "14:05", g.Looks[0].LookedAt.Format("15:04"))
	require.Equal(t, "15:15", g.Looks[1].LookedAt.Format("15:04"))
	require.Equal(t, []string{"4:5 twice TRIAVA"}, said(read(text+"a,2025-08-20,2025-08-20T09:05:00-05:00,2-01,TRIAVA,9,1\n")))
	require.Equal(t, []string{"4:1 other_look a"}, said(read(text+"a,2025-08-21,,2-01,TRIAVA,9,1\n")))
}

func TestDatesThatCanBeReadInTwoWaysAreAskedFor(t *testing.T) {
	t.Parallel()
	text := "date,block,organism,n,infested\n3/4/2025,2-01,TRIAVA,60,12\n"
	require.Equal(t, []string{"0:1 date_order_unclear 3/4/2025"}, said(read(text)))
	for order, month := range map[imports.DateOrder]time.Month{imports.DayMonthYear: time.April, imports.MonthDayYear: time.March} {
		g := read(text, func(o *imports.Options) { o.Dates = order })
		require.Empty(t, said(g))
		require.Equal(t, month, g.Looks[0].LookedAt.Month())
	}
	require.Equal(t, []string{"3:1 not_a_date 31.02.2025"}, said(read("date,block,organism,n,infested\n2025-08-20,2-01,TRIAVA,60,12\n31.02.2025,2-01,TRIAVA,60,12\n")))
	require.Equal(t, imports.MonthDayYear, read(text+"8/20/25,2-01,TRIAVA,60,12\n").Dates)
}

// The letters of Windows-1252 are held against another reader (golang.org/x/text).
func TestWindows1252IsReadAsOthersReadIt(t *testing.T) {
	t.Parallel()
	var all []byte
	for b := 1; b < 256; b++ {
		all = append(all, byte(b))
	}
	want, err := charmap.Windows1252.NewDecoder().Bytes(all)
	require.NoError(t, err)
	got, encoding, err := imports.TextOf(all, "")
	require.NoError(t, err)
	require.Equal(t, imports.Windows1252, encoding)
	for i, r := range []rune(got) {
		if other := []rune(string(want))[i]; other != '\ufffd' { // five bytes mean nothing there
			require.Equal(t, string(other), string(r), "byte %d", i+1)
		}
	}
	_, encoding, err = imports.TextOf([]byte("\xef\xbb\xbfaño"), "")
	require.NoError(t, err)
	require.Equal(t, imports.UTF8, encoding)
	_, _, err = imports.TextOf([]byte("PK\x03\x04"), "")
	require.ErrorIs(t, err, imports.ErrNotText)
	_, _, err = imports.TextOf([]byte("a\xf1o"), imports.UTF8)
	require.ErrorIs(t, err, imports.ErrNotUTF8)
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(heading+"2025-08-20,House 2,2-01,31-07,TRIAVA,60,12,\n"), "")
	f.Add([]byte("sep=;\r\ndate;block;organism;n;k\r\n\"20/8/25\";2-01;\"TRI\"\"AVA\";6\r1;\r\n"), "dmy")
	f.Add([]byte("date\tblock\torganism\tn\tinfested\n=\"2025-08-20\"\t2-01\tTRIAVA\t1,000\t\"1\n"), "mdy")
	f.Add([]byte("look|date|block|pest|n|k|%\n1|2025-08-20 9:05 pm|2-01|TRIAVA|60|12|20 %\n1|2025-08-20|2-01|x|60|12|20\n"), "")
	f.Fuzz(func(t *testing.T, content []byte, order string) {
		g := imports.Read(content, known(), func() imports.Options {
			o := options()
			o.Dates, o.Make = imports.DateOrder(order), []imports.Kind{imports.HouseName, imports.BlockName, imports.LotCode}
			return o
		}())
		lines := strings.Count(string(content), "\n") + strings.Count(string(content), "\r") + 1
		for _, f := range g.Faults {
			require.LessOrEqual(t, f.Line, lines)
			require.NotEmpty(t, f.Code)
			require.NotEmpty(t, f.Detail)
		}
		if len(g.Faults) > 0 {
			require.Empty(t, g.Looks)
			return
		}
		targets := 0
		for _, look := range g.Looks {
			require.NoError(t, look.Check())
			require.False(t, look.BlockID.IsZero())
			targets += len(look.Targets)
		}
		require.Equal(t, g.Lines, targets, "no line is lost unseen")
	})
}

func BenchmarkReadingFiftyThousandLines(b *testing.B) {
	text := []byte(heading + strings.Repeat("2025-08-20,House 2,2-01,31-07,TRIAVA,60,12,Nora Field\n", 50_000))
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		require.Len(b, imports.Read(text, known(), options()).Looks, 50_000)
	}
}
