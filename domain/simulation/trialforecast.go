package simulation

import "fmt"

// trialForecast is one forecast held against what came.
type trialForecast struct {
	weeksAhead int
	in50, in90 bool
	below      bool    // came out under the band of 90 %
	chanceOver float64 // that was given, 0 to 1
	over       bool    // whether it came so
	came       float64 // percent
	changed    bool    // natural enemies came or went in the house in the weeks after
}

// openForecast is a forecast that waits for its day.
type openForecast struct {
	group trialGroup
	week  int
	trialForecast
	lower50, upper50, lower90, upper90 float64
}

// mostWeeksAhead is how early forecasts of the day of the limit are judged.
const mostWeeksAhead = 5

// forecast asks for the share on the day of the limit.
func (s *trialSeason) forecast(readings []trialReading) []openForecast {
	ahead := trialLimitWeek - s.week
	if ahead < 1 || ahead > mostWeeksAhead {
		return nil
	}
	var all []openForecast
	for _, r := range readings {
		if !r.Course.Known() {
			continue
		}
		at := r.Course.At(trialLimitOn())
		all = append(all, openForecast{
			group: r.group, week: s.week,

			trialForecast: trialForecast{weeksAhead: ahead, chanceOver: r.Course.ChanceOver(trialLimit, trialLimitOn())},
			lower50:       at.Lower50, upper50: at.Upper50, lower90: at.Lower90, upper90: at.Upper90,
		})
	}
	return all
}

// judge holds forecasts against the share that the grower of the house could see
// on the day of the limit.
func (s *trialSeason) judge(open []openForecast) []trialForecast {
	_, stands := s.groups()
	all := make([]trialForecast, len(open))
	for i, o := range open {
		h := s.houses[o.group.house]
		came := 100 * visibleOn(stands[o.group], h.grower)
		f := o.trialForecast
		f.came = came
		f.in50 = o.lower50 <= came && came <= o.upper50
		f.below = came < o.lower90
		f.in90 = !f.below && came <= o.upper90
		f.over = came > trialLimit
		inTime := func(week int) bool { return week > o.week-2 && week < trialLimitWeek }
		f.changed = h.guardedUntil > h.guardedFrom && (inTime(h.guardedFrom) || inTime(h.guardedUntil))
		all[i] = f
	}
	return all
}

func (t Trial) forecastTable() string {
	return "2. Do the bands of forecasts for 1 October hold the share that was visible then?\n\n" +
		"From fixed looks\n" + forecastRows(t.fixed.forecasts) +
		"\nFrom looks by the plan\n" + forecastRows(t.planned.forecasts) + `
With what had been seen by then, for every group of which anything is said at all. What was visible is what
the house's own grower would have seen. Control changed: natural enemies came or went in the house from two
weeks before the forecast on. Wanted: 85 to 95 % in the band of 90 %.`
}

func forecastRows(forecasts []trialForecast) string {
	var table trialTable
	table.row("made", "in the 90 % band", "percent (interval)", "came lower", "came higher", "in the 50 % band", "percent (interval)")
	line := func(name string, of func(trialForecast) bool) {
		var in50, in90, below part
		for _, f := range forecasts {
			if of(f) {
				in50.add(f.in50)
				in90.add(f.in90)
				below.add(f.below)
			}
		}
		counts90, percent90 := in90.cells()
		counts50, percent50 := in50.cells()
		table.row(name, counts90, percent90, fmt.Sprint(below.of), fmt.Sprint(in90.n-in90.of-below.of), counts50, percent50)
	}
	for weeks := 1; weeks <= mostWeeksAhead; weeks++ {
		name := fmt.Sprintf("%d weeks before", weeks)
		if weeks == 1 {
			name = "1 week before"
		}
		line(name, func(f trialForecast) bool { return f.weeksAhead == weeks })
	}
	line("all", func(trialForecast) bool { return true })
	line("all, control as it was", func(f trialForecast) bool { return !f.changed })
	line("all, control changed", func(f trialForecast) bool { return f.changed })
	line("all, where whitefly was", func(f trialForecast) bool { return f.came > 0 })
	return table.String()
}

func (t Trial) chanceTable() string {
	edges := []float64{0, 0.02, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.98, 1}
	var table trialTable
	table.row("chance given", "mean of it", "came so", "percent (interval)")
	for i := 1; i < len(edges); i++ {
		low, high := edges[i-1], edges[i]
		var over part
		sum := 0.0
		for _, f := range t.fixed.forecasts {
			if f.chanceOver >= low && (f.chanceOver < high || high == 1) {
				over.add(f.over)
				sum += f.chanceOver
			}
		}
		counts, percent := over.cells()
		table.row(fmt.Sprintf("%.0f to %.0f %%", 100*low, 100*high), fmt.Sprintf("%.1f %%", 100*sum/float64(max(over.n, 1))), counts, percent)
	}
	return "3. Is the chance of being over 20 % on 1 October as it was given?\n\n" + table.String() + `
The forecasts from fixed looks, 1 to 5 weeks before. Good chances come about as often as they say.`
}
