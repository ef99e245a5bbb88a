package api

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"
	"github.com/xuri/excelize/v2"

	"benchtrail/api/internal/wire"
)

// reviewRow is a group in a season.
type reviewRow struct {
	year        int
	name, about string
	wire.ReviewFigures
}

// reviewColumn is a column of the table: what it is called and means, and its cell: a
// text, an int, a float64, or nil for what is not known.
type reviewColumn struct {
	name, means string
	cell        func(reviewRow) any
}

func reviewColumns(by wire.ReviewBy) []reviewColumn {
	columns := []reviewColumn{
		{"season", "The year of the season.", func(r reviewRow) any { return r.year }},
		{"group", "The " + string(by) + "; all: everything together.", func(r reviewRow) any { return r.name }},
		{"of", "What the group belongs to: of a farm its supplier, of a house its site.", func(r reviewRow) any { return r.about }},
		{"lots_arrived", "Lots that arrived.", func(r reviewRow) any { return r.Lots }},
		{"plants_received", "Plants of these lots, as counted at the dock.", func(r reviewRow) any { return r.PlantsReceived }},
	}
	columns = append(columns, rateColumns("dock", "infested with the main pest, of the plants looked at at the dock", func(r reviewRow) wire.Rate { return r.Dock })...)
	columns = append(columns, rateColumns("second_look", "infested with it, of the plants looked at at the second look", func(r reviewRow) wire.Rate { return r.SecondLook })...)
	columns = append(columns, rateColumns("strike", "rooted, of the cuttings whose roots were counted", func(r reviewRow) wire.Rate { return r.Strike })...)
	columns = append(columns, rateColumns("loss", "discarded or missing, of the plants received; of a house thrown out there, of those that left it or stand there", func(r reviewRow) wire.Rate { return r.Loss })...)
	return append(append(columns, peakColumns()...), endColumns()...)
}

func rateColumns(name, means string, of func(reviewRow) wire.Rate) []reviewColumn {
	percent := func(pick func(wire.Rate) *float64) func(reviewRow) any {
		return func(r reviewRow) any {
			if x := pick(of(r)); x != nil {
				return *x
			}
			return nil
		}
	}
	return []reviewColumn{
		{name + "_count", "Plants " + means + ": how many.", func(r reviewRow) any { return of(r).Count }},
		{name + "_of", "Of how many; 0 where none were counted.", func(r reviewRow) any { return of(r).Of }},
		{name + "_percent", "The same in percent.", percent(func(x wire.Rate) *float64 { return x.Percent })},
		{name + "_lower_percent", "Lower end of its 95 % interval; lots are the clusters.", percent(func(x wire.Rate) *float64 { return x.LowerPercent })},
		{name + "_upper_percent", "Upper end.", percent(func(x wire.Rate) *float64 { return x.UpperPercent })},
	}
}

func peakColumns() []reviewColumn {
	peak := func(pick func(wire.TrendPoint) any) func(reviewRow) any {
		return func(r reviewRow) any {
			if r.Peak == nil {
				return nil
			}
			return pick(*r.Peak)
		}
	}
	return []reviewColumn{
		{"peak_week", "The week in which most was infested for certain, by the lower end of the interval.", peak(func(p wire.TrendPoint) any { return p.Week })},
		{"peak_infested", "Infested plants in that week.", peak(func(p wire.TrendPoint) any { return p.InfestedPlants })},
		{"peak_looked_at", "Plants looked at in that week.", peak(func(p wire.TrendPoint) any { return p.PlantsLookedAt })},
		{"peak_percent", "The share of infested plants.", peak(func(p wire.TrendPoint) any { return p.InfestedPercent })},
		{"peak_lower_percent", "Lower end of its 95 % interval.", peak(func(p wire.TrendPoint) any { return p.LowerPercent })},
		{"peak_upper_percent", "Upper end.", peak(func(p wire.TrendPoint) any { return p.UpperPercent })},
	}
}

func endColumns() []reviewColumn {
	return []reviewColumn{
		{"weeks_looked", "Weeks with looks.", func(r reviewRow) any { return r.WeeksLooked }},
		{"weeks_judged", "Of those, in which a limit to act on held and enough plants were looked at.", func(r reviewRow) any { return r.WeeksJudged }},
		{"weeks_over", "Of those, with the whole interval over the limit.", func(r reviewRow) any { return r.WeeksOver }},
		{"dispatched", "Plants that left for customers.", func(r reviewRow) any { return r.Dispatched }},
		{"standing", "Plants that stand there now.", func(r reviewRow) any { return r.Standing }},
		{"claims", "Claims that were sent.", func(r reviewRow) any { return r.Claims.Claims }},
		{"claims_answered", "Of those, answered.", func(r reviewRow) any { return r.Claims.Answered }},
		{"claims_shared", "Of those, about other groups too: their credit and what they claim of several together are not shared out.", func(r reviewRow) any { return r.Claims.Shared }},
		{"plants_claimed", "Plants claimed of this group alone.", func(r reviewRow) any { return r.Claims.Plants }},
		{"granted", "What was granted, by currency.", func(r reviewRow) any {
			return strings.Join(each(r.Claims.Granted, func(x wire.ReviewCredit) string { return x.Amount + " " + x.Currency }), "; ")
		}},
	}
}

// reviewRows gives the groups and all together, this season and the one before.
func reviewRows(review wire.SeasonReview) []reviewRow {
	var rows []reviewRow
	add := func(name string, g wire.ReviewGroup) {
		rows = append(rows, reviewRow{review.SeasonYear, name, g.SubLabel, g.Now})
		if g.Last != nil {
			rows = append(rows, reviewRow{review.LastSeasonYear, name, g.SubLabel, *g.Last})
		}
	}
	if review.SeasonID == nil {
		return nil
	}
	for _, g := range review.Groups {
		name := g.Label
		if name == "" {
			name = map[string]string{"": "not known", "mixed": "mixed", "several": "several"}[g.Key]
		}
		add(name, g)
	}
	add("all", review.Whole)
	return rows
}

// GetSeasonReviewTable implements GET /season-review/csv.
func (s *server) GetSeasonReviewTable(c echo.Context, p wire.GetSeasonReviewTableParams) error {
	review, err := s.seasonReview(c, p.By, p.SeasonID, p.SiteID)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	out.WriteString(byteOrderMark)
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	columns := reviewColumns(p.By)
	lines := [][]string{each(columns, func(c reviewColumn) string { return c.name })}
	for _, row := range reviewRows(review) {
		lines = append(lines, each(columns, func(c reviewColumn) string { return textOfCell(c.cell(row)) }))
	}
	if err := w.WriteAll(lines); err != nil {
		return fmt.Errorf("write the table: %w", err)
	}
	nameFile(c, review, "csv")
	return c.Blob(http.StatusOK, "text/csv; charset=utf-8", out.Bytes())
}

func textOfCell(x any) string {
	switch x := x.(type) {
	case nil:
		return ""
	case int:
		return numberCell(x)
	case float64:
		return strconv.FormatFloat(x, 'f', 2, 64)
	}
	return textCell(fmt.Sprint(x))
}

func nameFile(c echo.Context, review wire.SeasonReview, extension string) {
	c.Response().Header().Set(echo.HeaderContentDisposition, fmt.Sprintf(`attachment; filename="season-%d-%s.%s"`, review.SeasonYear, review.By, extension))
}

const workbookType = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

// GetSeasonReviewWorkbook implements GET /season-review/xlsx.
func (s *server) GetSeasonReviewWorkbook(c echo.Context, p wire.GetSeasonReviewWorkbookParams) error {
	review, err := s.seasonReview(c, p.By, p.SeasonID, p.SiteID)
	if err != nil {
		return err
	}
	book, err := reviewWorkbook(reviewColumns(p.By), reviewRows(review))
	if err != nil {
		return fmt.Errorf("write the workbook: %w", err)
	}
	nameFile(c, review, "xlsx")
	return c.Blob(http.StatusOK, workbookType, book)
}

// reviewWorkbook writes the table and, on a second sheet, what its columns mean.
func reviewWorkbook(columns []reviewColumn, rows []reviewRow) (content []byte, err error) {
	book := excelize.NewFile()
	defer func() {
		if closed := book.Close(); err == nil {
			err = closed
		}
	}()
	const season, meaning = "Season", "Columns"
	if err := book.SetSheetName(book.GetSheetName(0), season); err != nil {
		return nil, err
	}
	if _, err := book.NewSheet(meaning); err != nil {
		return nil, err
	}
	table := [][]any{each(columns, func(c reviewColumn) any { return c.name })}
	for _, row := range rows {
		table = append(table, each(columns, func(c reviewColumn) any { return c.cell(row) }))
	}
	means := [][]any{{"column", "what it says"}}
	for _, column := range columns {
		means = append(means, []any{column.name, column.means})
	}
	if err := writeSheet(book, season, table); err != nil {
		return nil, err
	}
	if err := writeSheet(book, meaning, means); err != nil {
		return nil, err
	}
	text, err := book.WriteToBuffer()
	if err != nil {
		return nil, err
	}
	return text.Bytes(), nil
}

// writeSheet writes cells as what they are: a text that looks like a date or a formula
// stays a text. The heads stay in sight.
func writeSheet(book *excelize.File, sheet string, table [][]any) error {
	bold, err := book.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	decimal, err := book.NewStyle(&excelize.Style{NumFmt: 2}) // 0.00
	if err != nil {
		return err
	}
	stream, err := book.NewStreamWriter(sheet)
	if err != nil {
		return err
	}
	if err := stream.SetColWidth(1, len(table[0]), 14); err != nil {
		return err
	}
	if err := stream.SetPanes(&excelize.Panes{Freeze: true, XSplit: 2, YSplit: 1, TopLeftCell: "C2", ActivePane: "bottomRight"}); err != nil {
		return err
	}
	for i, line := range table {
		cells := make([]any, len(line))
		for j, value := range line {
			switch _, number := value.(float64); {
			case i == 0:
				cells[j] = excelize.Cell{StyleID: bold, Value: value}
			case number:
				cells[j] = excelize.Cell{StyleID: decimal, Value: value}
			default:
				cells[j] = value
			}
		}
		if err := stream.SetRow("A"+strconv.Itoa(i+1), cells); err != nil {
			return err
		}
	}
	return stream.Flush()
}
