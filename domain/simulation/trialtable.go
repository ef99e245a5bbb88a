package simulation

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// trialTable is a table of plain text: the first column to the left, the others to
// the right.
type trialTable [][]string

func (t *trialTable) row(cells ...string) { *t = append(*t, cells) }

func (t trialTable) String() string {
	var widths []int
	for _, row := range t {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	var b strings.Builder
	for _, row := range t {
		line := ""
		for i, cell := range row {
			space := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
			if i == 0 {
				line += cell + space
			} else {
				line += "   " + space + cell
			}
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}

// cells writes a part as its counts and its percentage with the interval.
func (p part) cells() (counts, percent string) {
	if p.n == 0 {
		return "0 of 0", "-"
	}
	i := p.interval()
	return fmt.Sprintf("%d of %d", p.of, p.n),
		fmt.Sprintf("%.1f %% (%.1f–%.1f)", 100*float64(p.of)/float64(p.n), 100*i.Lower, 100*i.Upper)
}

// String gives the table.
func (t Trial) String() string {
	parts := []string{
		fmt.Sprintf("Trial of %d invented seasons, seed %d\n", t.Seasons, t.Seed) + aboutSeasons,
		t.coverageTable(),
		t.forecastTable(),
		t.chanceTable(),
		t.stopTable(),
		t.callTable(),
	}
	parts = slices.DeleteFunc(parts, func(s string) bool { return s == "" })
	return strings.Join(parts, "\n\n") + "\n"
}

const aboutSeasons = `
A season is one site with 4 houses of 8 to 16 blocks with 150 to 400 plants each, 5 to 7 cultivars of
light, medium and dark foliage, and 4 to 8 arrivals of different farms, few of them much infested, some
with plants of two farms. Whitefly spreads in clumps, at a pace drawn for the season; in 3 of 10 houses
natural enemies are there all the time, in 1 of 10 they are lost and in 1 of 8 brought in on the way.
Nobody treats anything after a call, and the spread does not depend on looks. Rounds are weekly, from the
week of 3 August to that of 28 September. A group is a cultivar in a house.
Fixed looks: half of the blocks of a house, drawn anew each week, and one more for a cultivar that is in
none of them; 20 plants in each, spread evenly over all that stands there. Looks by the plan: its blocks and
plants, until its stop lines say enough. Both look at the same plants on their own.
The visible share is what a perfect repeat of the look would show: the share of all plants of the group
on which this week's observer would see whitefly, given how visible it is on each plant (30 % in its first
week there, 75 % in the second, then 97 %) and the observer's eye (82 to 97 %).
Numbers in brackets are Wilson's 95 % interval of the figure; cases of one season are not independent,
so that the true interval is wider.`
