package domain_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
)

func anyDate() *rapid.Generator[domain.Date] {
	return rapid.Custom(func(t *rapid.T) domain.Date {
		// 1 January 0001 to 31 December 9999: what four digits can write.
		return domain.NewDate(1, time.January, 1).AddDays(rapid.IntRange(0, 3_652_058).Draw(t, "day"))
	})
}

func TestADateReadsBackAsItWasWritten(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		date := anyDate().Draw(t, "date")
		read, err := domain.ParseDate(date.String())
		require.NoError(t, err)
		require.Equal(t, date, read)

		text, err := date.MarshalText()
		require.NoError(t, err)
		var unmarshalled domain.Date
		require.NoError(t, unmarshalled.UnmarshalText(text))
		require.Equal(t, date, unmarshalled)
		require.False(t, date.IsZero())
	})
}

func TestADateThatIsNotKnownIsWrittenAsNothing(t *testing.T) {
	t.Parallel()
	var date domain.Date
	require.True(t, date.IsZero())
	require.Empty(t, date.String())
	date = domain.NewDate(2026, time.September, 14)
	require.NoError(t, date.UnmarshalText(nil))
	require.True(t, date.IsZero())
}

func TestDaysCountTheSameForwardsAndBackwards(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		from, to := anyDate().Draw(t, "from"), anyDate().Draw(t, "to")
		days := from.DaysUntil(to)
		require.Equal(t, to, from.AddDays(days))
		require.Equal(t, -days, to.DaysUntil(from))
		require.Equal(t, days > 0, from.Before(to))
		require.Equal(t, days < 0, from.After(to))
		require.Equal(t, days == 0, from.Compare(to) == 0)
	})
}

func TestADateIsWhatTheClockOnTheWallShows(t *testing.T) {
	t.Parallel()
	chicago, err := time.LoadLocation("America/Chicago")
	require.NoError(t, err)
	// 03:30 UTC on 15 September is half past ten in the evening before in Chicago.
	moment := time.Date(2026, time.September, 15, 3, 30, 0, 0, time.UTC)
	require.Equal(t, "2026-09-15", domain.DateOf(moment).String())
	require.Equal(t, "2026-09-14", domain.DateOf(moment.In(chicago)).String())
}

// On 8 March 2026 clocks in Chicago skip an hour (second Sunday of March, US
// Energy Policy Act of 2005); a date has no hours to lose.
func TestDatesKeepTheirLengthWhenClocksChange(t *testing.T) {
	t.Parallel()
	before, after := domain.NewDate(2026, time.March, 7), domain.NewDate(2026, time.March, 9)
	require.Equal(t, 2, before.DaysUntil(after))
}

func TestTextThatIsNoDateIsRefused(t *testing.T) {
	t.Parallel()
	for _, text := range []string{
		"", "2026-9-14", "2026-09-31", "2026-02-29", "2100-02-29", "0000-01-01", "14.09.2026", "2026-09-14T00:00:00Z", " 2026-09-14",
	} {
		_, err := domain.ParseDate(text)
		require.ErrorIs(t, err, domain.ErrDate, "%q", text)
	}
	var date domain.Date
	require.ErrorIs(t, date.UnmarshalText([]byte("soon")), domain.ErrDate)
	leap, err := domain.ParseDate("2000-02-29")
	require.NoError(t, err)
	require.Equal(t, domain.NewDate(2000, time.February, 29), leap)
}

// ISO 8601 numbers weeks from Monday, and week 1 is the one with the first
// Thursday. The pairs are those that articles on the standard usually show;
// 2026-W53 follows from 1 January 2026 being a Thursday.
func TestWeeksAreThoseOfTheStandard(t *testing.T) {
	t.Parallel()
	for date, week := range map[string]string{
		"1977-01-01": "1976-W53", "1978-01-01": "1977-W52", "1979-12-31": "1980-W01", "1980-12-29": "1981-W01",
		"1981-12-31": "1981-W53", "1982-01-03": "1981-W53", "2005-01-02": "2004-W53", "2008-12-29": "2009-W01",
		"2010-01-03": "2009-W53", "2021-01-03": "2020-W53", "2021-01-04": "2021-W01",
		"2026-01-01": "2026-W01", "2026-12-31": "2026-W53", "2027-01-03": "2026-W53", "2027-01-04": "2027-W01",
	} {
		read, err := domain.ParseDate(date)
		require.NoError(t, err)
		require.Equal(t, week, read.Week().String(), date)
	}
	for _, text := range []string{"2020-W53", "2026-W53", "2015-W53", "2009-W53"} {
		_, err := domain.ParseWeek(text)
		require.NoError(t, err, text)
	}
	for _, text := range []string{"2021-W53", "2025-W53", "2027-W53"} {
		_, err := domain.ParseWeek(text)
		require.ErrorIs(t, err, domain.ErrWeek, text)
	}
}

func TestWeekOneHoldsTheFirstThursday(t *testing.T) {
	t.Parallel()
	for year := 1900; year <= 2200; year++ {
		thursday := domain.Week{Year: year, Number: 1}.Monday().AddDays(3)
		require.Equal(t, time.Thursday, thursday.Time().Weekday())
		require.Equal(t, year, thursday.Year())
		require.LessOrEqual(t, thursday.Time().YearDay(), 7)
	}
}

func TestEveryDateLiesInTheSevenDaysOfItsWeek(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		date := anyDate().Draw(t, "date")
		week := date.Week()
		monday := week.Monday()
		require.Equal(t, time.Monday, monday.Time().Weekday())
		require.Equal(t, week, monday.Week())
		require.GreaterOrEqual(t, monday.DaysUntil(date), 0)
		require.Less(t, monday.DaysUntil(date), 7)
		if week.Year <= 9999 { // the last days of 9999 lie in the year after
			read, err := domain.ParseWeek(week.String())
			require.NoError(t, err)
			require.Equal(t, week, read)
		}
	})
}

func TestTextThatIsNoWeekIsRefused(t *testing.T) {
	t.Parallel()
	for _, text := range []string{
		"", "2026-38", "2026W38", "2026-W8", "2026-W00", "2026-W54", "0000-W01", "-026-W38", "+026-W38", "2026-W+8", " 026-W38", "2026-W 8", "2026-w38", "2026-W380",
	} {
		_, err := domain.ParseWeek(text)
		require.ErrorIs(t, err, domain.ErrWeek, "%q", text)
	}
}

func FuzzParseDateGivesBackItsOwnText(f *testing.F) {
	f.Add("2026-09-14")
	f.Add("0001-01-01")
	f.Add("2026-02-30")
	f.Fuzz(func(t *testing.T, text string) {
		date, err := domain.ParseDate(text)
		if err != nil {
			require.ErrorIs(t, err, domain.ErrDate)
			require.True(t, date.IsZero())
			return
		}
		require.Equal(t, text, date.String())
	})
}

func FuzzParseWeekGivesBackItsOwnText(f *testing.F) {
	f.Add("2026-W38")
	f.Add("2020-W53")
	f.Add("+202-W38")
	f.Add("2026-W 8")
	f.Fuzz(func(t *testing.T, text string) {
		week, err := domain.ParseWeek(text)
		if err != nil {
			require.ErrorIs(t, err, domain.ErrWeek)
			require.Zero(t, week)
			return
		}
		require.Equal(t, text, week.String())
		require.Equal(t, week, week.Monday().Week())
	})
}
