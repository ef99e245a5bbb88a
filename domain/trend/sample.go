package trend

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"benchtrail/domain"
	"benchtrail/domain/stats"
)

// Cluster is the plants of a group that were looked at in one block in one week.
// Plants of one block are alike, plants of different blocks less so.
type Cluster struct {
	LotID, BlockID                   domain.ID // the lot is zero when it is of no matter
	Looks, Plants, Infested, InDoubt int
	Standing                         int // plants of the group in the block then; 0 when not known
}

// Sample is what was looked at of a group in one week, as sums over its blocks,
// each one cluster.
type Sample struct {
	Counts
	FewestPlants            int     // looked at in a cluster
	MostPlants              int     // looked at in a cluster
	PlantsSquared           float64 // Σ n²
	InfestedSquaredPerPlant float64 // Σ x²/n

	// Over the clusters, N being the plants standing in one. They are of use only
	// while AllStandingKnown: one unknown number would leave its block out.
	AllStandingKnown        bool
	Standing                float64 // Σ N
	StandingSquared         float64 // Σ N²
	StandingSquaredPerPlant float64 // Σ N²/n
	StandingInfested        float64 // Σ N x/n
	PlantsSquaredPerStand   float64 // Σ n²/N

	StandingPlants int // of the group, looked at or not; 0 when not known
	StandingBlocks int // blocks they stood in
}

// SampleOf sums up the clusters of a week, those of one block as one. The plants and
// blocks standing are those of the whole group, looked at or not; 0 when not known.
func SampleOf(week domain.Date, clusters []Cluster, standingPlants, standingBlocks int) Sample {
	s := Sample{Counts: Counts{WeekStart: week}, AllStandingKnown: true, StandingPlants: standingPlants, StandingBlocks: standingBlocks}
	for _, c := range byBlock(clusters) {
		s.Blocks++
		s.Looks += c.Looks
		s.Plants += c.Plants
		s.Infested += c.Infested
		s.InDoubt += c.InDoubt
		if s.Blocks == 1 {
			s.FewestPlants = c.Plants
		}
		s.FewestPlants = min(s.FewestPlants, c.Plants)
		s.MostPlants = max(s.MostPlants, c.Plants)
		n, x := float64(c.Plants), float64(c.Infested)
		s.PlantsSquared += n * n
		s.InfestedSquaredPerPlant += x * (x / n)
		if c.Standing <= 0 {
			s.AllStandingKnown = false
			continue
		}
		// More looked at than stood there is a mistake somewhere; the looks are sure.
		stood := math.Max(float64(c.Standing), n)
		s.Standing += stood
		s.StandingSquared += stood * stood
		s.StandingSquaredPerPlant += stood * (stood / n)
		s.StandingInfested += stood * (x / n)
		s.PlantsSquaredPerStand += n * (n / stood)
	}
	return s
}

// byBlock joins the clusters of each block and leaves out those without a plant
// looked at. What stands in a block is known when it is for each of them.
func byBlock(clusters []Cluster) []Cluster {
	var joined []Cluster
	at := map[domain.ID]int{}
	for _, c := range clusters {
		if c.Plants <= 0 {
			continue
		}
		i, found := at[c.BlockID]
		if !found {
			at[c.BlockID] = len(joined)
			joined = append(joined, c)
			continue
		}
		was := &joined[i]
		was.Looks += c.Looks
		was.Plants += c.Plants
		was.Infested += c.Infested
		was.InDoubt += c.InDoubt
		if was.Standing > 0 && c.Standing > 0 {
			was.Standing += c.Standing
		} else {
			was.Standing = 0
		}
	}
	return joined
}

// UnequalEffort is how many times more plants the most looked at cluster must have
// than the least before the plain ratio gives way to one weighted by the plants
// standing. Rounds of 15 to 20 plants a block are equal effort (common practice).
const UnequalEffort = 1.5

// weighted reports whether effort was unequal and the plants standing are known.
func (s Sample) weighted() bool {
	return s.AllStandingKnown && s.Blocks > 1 && float64(s.MostPlants) > UnequalEffort*float64(s.FewestPlants)
}

// BlockCorrelation says how alike the plants of one block are.
type BlockCorrelation struct {
	Correlation float64 // 0 to 1
	Known       bool    // false while it rests on fewer than EnoughBlocks comparisons
	Blocks      int     // comparisons between blocks: blocks less one, summed over groups and weeks
}

// CautiousCorrelation stands in while a season has told little, and counts as much
// as EnoughBlocks comparisons when it has. It is chosen, not measured: published
// work on greenhouse whitefly says only that plants in a row are alike.
const (
	CautiousCorrelation = 0.10
	EnoughBlocks        = 20
)

// CorrelationOf pools how alike the plants of one block are over groups and weeks,
// by the analysis of variance within each, and leans on CautiousCorrelation while
// there is little to go by. See [stats.CorrelationOf].
func CorrelationOf(samples []Sample) BlockCorrelation {
	spreads := make([]stats.ClusterSpread, len(samples))
	for i, s := range samples {
		spreads[i] = stats.ClusterSpread{
			Clusters: s.Blocks, Examined: s.Plants, Infested: s.Infested,
			ExaminedSquared: s.PlantsSquared, InfestedSquaredPerExamined: s.InfestedSquaredPerPlant,
		}
	}
	found := stats.CorrelationOf(spreads)
	if !found.Known {
		return BlockCorrelation{Correlation: CautiousCorrelation}
	}
	n := float64(found.DegreesBetween)
	pooled := (n*math.Max(0, found.Correlation) + EnoughBlocks*CautiousCorrelation) / (n + EnoughBlocks)
	return BlockCorrelation{Correlation: pooled, Known: found.DegreesBetween >= EnoughBlocks, Blocks: found.DegreesBetween}
}

// standsElsewhere reports whether the group is known to have plants where nobody looked.
func (s Sample) standsElsewhere() bool {
	return s.AllStandingKnown && float64(s.StandingPlants) > s.Standing
}

// Estimate gives the share of infested plants of a week at Confidence. A look at a
// single block that is all of the group, as far as is known, gets Wilson's interval.
// Otherwise it is Wilson's for as many plants drawn one by one as would tell as much:
//
//	1/n' = r (1-f) Σw² + (1-r) Σ w² (1/n - 1/N)
//
// w being the part of a cluster in the estimate, n the plants looked at and N those
// standing in it, f the part of the group's plants that stand in clusters looked at,
// r the correlation of plants of one block. It is the variance of a sample in two
// stages with a correction for a finite population at each (Cochran 1977, Sampling
// Techniques, 3rd ed., section 11.4, with equal variances within the blocks), over
// p(1-p). Without what stands, f and 1/N are 0. The number is never more than the
// plants looked at: a look misses some of what is there, and a pest is never so still
// that all of a small lot, looked at once, would make it certain. The correlation is pooled over the
// season because few blocks cannot give it and a week without a find gives none; see
// [stats.Clusters.Interval].
//
// The share is the plain ratio of the summed counts, or weighted by the plants
// standing where effort was unequal; it is never a mean of percentages.
func Estimate(s Sample, c BlockCorrelation) (Point, error) {
	if s.Blocks <= 1 && !s.standsElsewhere() {
		p, err := PointOf(s.Counts)
		p.StandingPlants, p.StandingBlocks = s.StandingPlants, s.StandingBlocks
		return p, err
	}
	n := float64(s.Plants)
	share, squares, within := float64(s.Infested)/n, s.PlantsSquared/(n*n), 1/n
	if s.AllStandingKnown {
		within -= s.PlantsSquaredPerStand / (n * n)
	}
	weighted := s.weighted()
	if weighted {
		share = math.Min(s.StandingInfested/s.Standing, 1)
		squares = s.StandingSquared / (s.Standing * s.Standing)
		within = s.StandingSquaredPerPlant/(s.Standing*s.Standing) - 1/s.Standing
	}
	left := 1.0
	if s.AllStandingKnown && s.StandingPlants > 0 {
		left = 1 - math.Min(s.Standing/float64(s.StandingPlants), 1)
	}
	inverse := c.Correlation*left*squares + (1-c.Correlation)*math.Max(within, 0)
	effective := n
	if inverse > 1/n {
		effective = 1 / inverse
	}
	interval, err := stats.WilsonOfShare(share, effective, Confidence)
	if err != nil {
		return Point{}, fmt.Errorf("week of %s: %w", s.WeekStart, err)
	}
	return Point{
		Counts: s.Counts, Percent: 100 * share, LowerPercent: 100 * interval.Lower, UpperPercent: 100 * interval.Upper,
		Design: true, Weighted: weighted, DesignEffect: n / effective, Effective: effective,
		StandingPlants: s.StandingPlants, StandingBlocks: s.StandingBlocks,
	}, nil
}

// Together brings the samples of groups that share no plants into one of each week,
// in order of time. Blocks in which several of the groups stand are counted once for
// each.
func Together(groups [][]Sample) []Sample {
	byWeek := map[domain.Date]Sample{}
	for _, samples := range groups {
		for _, s := range samples {
			if was, found := byWeek[s.WeekStart]; found {
				s = was.with(s)
			}
			byWeek[s.WeekStart] = s
		}
	}
	return slices.SortedFunc(maps.Values(byWeek), func(a, b Sample) int { return a.WeekStart.Compare(b.WeekStart) })
}

// with adds the sums of another group's sample of the same week.
func (s Sample) with(o Sample) Sample {
	s.Looks += o.Looks
	s.Blocks += o.Blocks
	s.Plants += o.Plants
	s.Infested += o.Infested
	s.InDoubt += o.InDoubt
	s.FewestPlants = min(s.FewestPlants, o.FewestPlants)
	s.MostPlants = max(s.MostPlants, o.MostPlants)
	s.PlantsSquared += o.PlantsSquared
	s.InfestedSquaredPerPlant += o.InfestedSquaredPerPlant
	s.AllStandingKnown = s.AllStandingKnown && o.AllStandingKnown
	s.Standing += o.Standing
	s.StandingSquared += o.StandingSquared
	s.StandingSquaredPerPlant += o.StandingSquaredPerPlant
	s.StandingInfested += o.StandingInfested
	s.PlantsSquaredPerStand += o.PlantsSquaredPerStand
	s.StandingPlants += o.StandingPlants
	s.StandingBlocks += o.StandingBlocks
	return s
}
