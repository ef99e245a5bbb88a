package simulation

import (
	"fmt"

	"benchtrail/domain/stats"
	"benchtrail/domain/trend"
)

// trialEstimate is one interval held against the truth.
type trialEstimate struct {
	truth          float64 // visible share of the plants of the group that week, 0 to 1
	alike          float64 // true intra-block correlation
	oneBlock       bool    // the group stands in one block, and has no such correlation
	blocks         int     // looked at
	design, wilson bool    // whether the interval holds the truth
	width          float64 // of the design interval, percentage points
}

// estimates holds the intervals of this week's looks against the truth. Groups
// without whitefly are left out: there every interval holds it.
func (s *trialSeason) estimates(readings []trialReading) ([]trialEstimate, error) {
	_, stands := s.groups()
	var all []trialEstimate
	for _, r := range readings {
		if !r.lookedAt(trialMonday(s.week)) {
			continue
		}
		eye := s.houses[r.group.house].observer
		truth := visibleOn(stands[r.group], eye)
		if truth == 0 {
			continue
		}
		alike, known := alikeIn(stands[r.group], eye)
		p := r.latest()
		plain, err := trend.PointOf(p.Counts)
		if err != nil {
			return nil, err
		}
		holds := func(p trend.Point) bool { return p.LowerPercent <= 100*truth && 100*truth <= p.UpperPercent }
		all = append(all, trialEstimate{
			truth: truth, alike: alike, oneBlock: !known, blocks: p.Blocks,
			design: holds(p), wilson: holds(plain), width: p.UpperPercent - p.LowerPercent,
		})
	}
	return all, nil
}

// part is a count out of others, with Wilson's interval.
type part struct{ of, n int }

func (p *part) add(yes bool) {
	p.n++
	if yes {
		p.of++
	}
}

func (p part) interval() stats.Interval {
	i, err := stats.Wilson(stats.Proportion{Examined: p.n, Infested: p.of}, trend.Confidence)
	if err != nil { // nothing was counted
		return stats.Interval{Upper: 1}
	}
	return i
}

// The classes of the true intra-block correlation.
const alikeLow, alikeHigh = 0.05, 0.20

func (e trialEstimate) alikeClass() int {
	switch {
	case e.oneBlock:
		return 3
	case e.alike < alikeLow:
		return 0
	case e.alike <= alikeHigh:
		return 1
	default:
		return 2
	}
}

func (t Trial) coverageTable() string {
	return "1. Do the 95 % intervals hold the visible share?\n\n" +
		"Fixed looks\n" + coverageRows(t.fixed.estimates) +
		"\nLooks by the plan\n" + coverageRows(t.planned.estimates) + `
Correlation: how alike the plants of one block truly are in what can be seen on them: the variance between
the blocks of the group as a part of the whole variance. Groups without whitefly are left out. The
intervals are those that pages show (design); beside them is how often Wilson's plain interval on the
summed counts holds it. Wanted: 93 to 97 % at 0.05 to 0.20 from 3 blocks on, at least 93 % with fewer.`
}

func coverageRows(estimates []trialEstimate) string {
	var table trialTable
	table.row("correlation", "blocks looked at", "hold it", "percent (interval)", "Wilson's hold it", "mean width")
	names := [4]string{"below 0.05", "0.05 to 0.20", "above 0.20", "stands in one block"}
	for class, name := range names {
		for _, many := range []bool{false, true} {
			var design, wilson part
			width := 0.0
			for _, e := range estimates {
				if e.alikeClass() == class && (e.blocks >= 3) == many {
					design.add(e.design)
					wilson.add(e.wilson)
					width += e.width
				}
			}
			blocks := "1 or 2"
			if many {
				blocks = "3 or more"
			}
			if design.n == 0 {
				continue
			}
			counts, percent := design.cells()
			_, plain := wilson.cells()
			table.row(name, blocks, counts, percent, plain, fmt.Sprintf("%.1f points", width/float64(design.n)))
		}
	}
	return table.String()
}
