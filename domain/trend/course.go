package trend

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"benchtrail/domain"
)

// The course of an infestation is followed as the log odds of a plant to be
// infested. They go up by the same growth each week, give or take a drift, and each
// week's looks show them with the uncertainty of their sample:
//
//	l(1) ~ N(log odds of 5 %, 2.5²)    l(t+1) = l(t) + g + e, e ~ N(0, drift²)    g ~ N(prior)
//	infested(t) ~ binomial(effective plants, share with the log odds l(t))
//
// A pest that spreads from plant to plant and finds fewer free ones grows in a
// straight line on this scale (logistic growth). It is a local linear trend with
// binomial observations (West and Harrison 1997, Bayesian Forecasting and Dynamic
// Models, 2nd ed., chapter 14); what is known of l and g is taken as normal around
// its most likely value (Laplace). It has an answer whatever was found: none, all,
// one week.
const (
	Drift        = 0.20 // of the log odds in a week; chosen by the trial
	firstSpread  = 2.5
	mostWeeks    = 10 // older looks say nothing of the present growth
	mostNewton   = 60
	closeEnough  = 1e-9
	LeastWeeks   = 3  // with looks, before anything is said of growth or of what comes
	LeastPlants  = 60 // looked at in them
	LeastFound   = 3  // infested plants, before growth is said
	daysIntoWeek = 2  // a week's looks stand for its Wednesday
)

// Prior is what is expected of growth before a group's own looks are read.
type Prior struct{ Growth, GrowthSD float64 } // log odds per week

// UsualPrior is for a season that has told nothing yet: most groups between no
// growth and two thirds as much again each week; chosen by the trial. Extension
// sources speak of a tenfold rise in four weeks at the worst, 0.58 per week, which
// lies two and a half deviations up (University of Delaware, Kent County, 6
// September 2008).
func UsualPrior() Prior { return Prior{Growth: 0.20, GrowthSD: 0.15} }

// Course is what is known of a group's infestation and where it goes.
type Course struct {
	last                     domain.Date // the day the latest looks stand for; zero when there are none
	level, growth            float64
	levelVar, growthVar, cov float64
	prior                    Prior
	weeks, plants, infested  int
}

// Follow reads the course of a group from its weeks, in order of time. Errors say
// that the sums could not be done, which no counts should bring about.
func Follow(points []Point, prior Prior) (Course, error) {
	c := Course{level: logOdds(0.05), growth: prior.Growth, levelVar: firstSpread * firstSpread, growthVar: prior.GrowthSD * prior.GrowthSD, prior: prior}
	if len(points) == 0 {
		return c, nil
	}
	end := points[len(points)-1].WeekStart
	c.last = end.AddDays(daysIntoWeek)
	for len(points) > 0 && points[0].WeekStart.DaysUntil(end) > 7*(mostWeeks-1) {
		points = points[1:]
	}
	for _, p := range points {
		c.weeks++
		c.plants += p.Plants
		c.infested += p.Infested
	}
	return c, c.fit(points)
}

// fit climbs to the most likely log odds of every week and growth. The last
// unknown is the growth.
func (c *Course) fit(points []Point) error {
	weeks := points[0].WeekStart.DaysUntil(points[len(points)-1].WeekStart)/7 + 1
	seen := make([]struct{ infested, plants float64 }, weeks)
	for _, p := range points {
		w := &seen[points[0].WeekStart.DaysUntil(p.WeekStart)/7]
		w.infested += p.Effective * p.Percent / 100
		w.plants += p.Effective
	}
	x := make([]float64, weeks+1)
	for t := range weeks {
		x[t] = c.level
	}
	x[weeks] = c.growth

	first, drift, spread := 1/c.levelVar, 1/(Drift*Drift), 1/c.growthVar
	height := func(x []float64) float64 {
		g := x[weeks]
		h := -first*square(x[0]-c.level)/2 - spread*square(g-c.growth)/2
		for t, w := range seen {
			h += w.infested*x[t] - w.plants*softplus(x[t])
			if t > 0 {
				h -= drift * square(x[t]-x[t-1]-g) / 2
			}
		}
		return h
	}
	slope := make([]float64, weeks+1)
	bend := mat.NewSymDense(weeks+1, nil) // minus the second derivatives
	var factor mat.Cholesky
	add := func(i, j int, v float64) { bend.SetSym(i, j, bend.At(i, j)+v) }
	for range mostNewton {
		bend.Zero()
		g := x[weeks]
		for t, w := range seen {
			p := share(x[t])
			slope[t] = w.infested - w.plants*p
			add(t, t, w.plants*p*(1-p))
		}
		slope[0] -= first * (x[0] - c.level)
		add(0, 0, first)
		slope[weeks] = -spread * (g - c.growth)
		add(weeks, weeks, spread)
		for t := 1; t < weeks; t++ {
			pull := drift * (x[t] - x[t-1] - g)
			slope[t] -= pull
			slope[t-1] += pull
			slope[weeks] += pull
			add(t, t, drift)
			add(t-1, t-1, drift)
			add(t-1, t, -drift)
			add(weeks, weeks, drift)
			add(t, weeks, -drift)
			add(t-1, weeks, drift)
		}
		if !factor.Factorize(bend) {
			return fmt.Errorf("the course of %d weeks has no peak", weeks)
		}
		var step mat.VecDense
		if err := factor.SolveVecTo(&step, mat.NewVecDense(weeks+1, slope)); err != nil {
			return fmt.Errorf("step towards the course of %d weeks: %w", weeks, err)
		}
		moved := climb(x, step.RawVector().Data, height)
		if moved < closeEnough {
			break
		}
	}
	var inverse mat.SymDense
	if err := factor.InverseTo(&inverse); err != nil {
		return fmt.Errorf("how sure the course of %d weeks is: %w", weeks, err)
	}
	c.level, c.growth = x[weeks-1], x[weeks]
	c.levelVar, c.growthVar, c.cov = inverse.At(weeks-1, weeks-1), inverse.At(weeks, weeks), inverse.At(weeks-1, weeks)
	return nil
}

// climb moves x by the step, or by halves of it until that is no way down, and
// gives the largest change.
func climb(x, step []float64, height func([]float64) float64) float64 {
	from := height(x)
	tried := make([]float64, len(x))
	for part := 1.0; part > 1e-6; part /= 2 {
		moved := 0.0
		for i := range x {
			tried[i] = x[i] + part*step[i]
			moved = math.Max(moved, math.Abs(part*step[i]))
		}
		if height(tried) >= from-1e-12*math.Abs(from) {
			copy(x, tried)
			return moved
		}
	}
	return 0
}

// Known reports whether there are enough looks to say anything of what comes.
func (c Course) Known() bool { return c.weeks >= LeastWeeks && c.plants >= LeastPlants }

// Weeks counts the weeks with looks that the course was read from.
func (c Course) Weeks() int { return c.weeks }

// LatestOn is the day the latest looks stand for; zero when there are none.
func (c Course) LatestOn() domain.Date { return c.last }

// Plants counts the plants looked at in them.
func (c Course) Plants() int { return c.plants }

// Growth is by how much the odds of a plant to be infested are multiplied each
// week, with its interval at Confidence.
type Growth struct {
	Known                   bool // false: too few weeks, plants or finds to say
	Weeks, Plants           int
	OddsRatio, Lower, Upper float64
}

// Growth gives the growth of the group.
func (c Course) Growth() Growth {
	g := Growth{Known: c.Known() && c.infested >= LeastFound, Weeks: c.weeks, Plants: c.plants}
	half := distuv.UnitNormal.Quantile(1-(1-Confidence)/2) * math.Sqrt(c.growthVar)
	g.OddsRatio, g.Lower, g.Upper = math.Exp(c.growth), math.Exp(c.growth-half), math.Exp(c.growth+half)
	return g
}

// Ahead is where the share of infested plants is on a day, in percent, if what
// happens to it stays as it was: the middle, and bands that hold it with 50 and
// 90 %.
type Ahead struct {
	On                                          domain.Date
	Percent, Lower50, Upper50, Lower90, Upper90 float64
}

// At gives the share on a day, at the earliest that of the latest looks.
func (c Course) At(on domain.Date) Ahead {
	middle, sd := c.on(on)
	at := func(chance float64) float64 { return 100 * share(middle+sd*distuv.UnitNormal.Quantile(chance)) }
	a := Ahead{On: on, Percent: at(0.5), Lower50: at(0.25), Upper50: at(0.75), Lower90: at(0.05), Upper90: at(0.95)}
	if c.infested == 0 {
		a.Lower50, a.Lower90 = 0, 0 // the group may be free, which no odds can say
	}
	return a
}

// ChanceOver is the chance, 0 to 1, that the share is over so many percent on a day.
func (c Course) ChanceOver(percent float64, on domain.Date) float64 {
	switch {
	case percent <= 0:
		return 1
	case percent >= 100:
		return 0
	}
	middle, sd := c.on(on)
	return distuv.UnitNormal.Survival((logOdds(percent/100) - middle) / sd)
}

func (c Course) on(day domain.Date) (middle, sd float64) {
	weeks := 0.0
	if !c.last.IsZero() {
		weeks = math.Max(0, float64(c.last.DaysUntil(day))/7)
	}
	variance := c.levelVar + 2*weeks*c.cov + weeks*weeks*c.growthVar + weeks*Drift*Drift
	return c.level + weeks*c.growth, math.Sqrt(math.Max(variance, 1e-12))
}

// PriorOf pools the growth of a season's courses: their mean and how much they
// differ beyond what chance makes of it (DerSimonian and Laird 1986, Controlled
// Clinical Trials 7:177-188). A season with few of them keeps to UsualPrior.
func PriorOf(courses []Course) Prior {
	const fewest, narrowest = 5, 0.10
	usual := UsualPrior()
	var told, sum, squares, weighted float64 // of the precisions of what looks alone say
	n := 0
	for _, c := range courses {
		prior := 1 / square(c.prior.GrowthSD)
		own := 1/c.growthVar - prior
		if !c.Growth().Known || !(own > 0.1*prior) {
			continue
		}
		growth := (c.growth/c.growthVar - c.prior.Growth*prior) / own
		n++
		told += own
		squares += own * own
		sum += own * growth
		weighted += own * growth * growth
	}
	if n < fewest {
		return usual
	}
	mean := sum / told
	between := (weighted - told*mean*mean - float64(n-1)) / (told - squares/told)
	return Prior{Growth: mean, GrowthSD: math.Max(math.Sqrt(math.Max(between, 0)), narrowest)}
}

func square(x float64) float64 { return x * x }

func logOdds(p float64) float64 { return math.Log(p / (1 - p)) }

func share(logOdds float64) float64 { return 1 / (1 + math.Exp(-logOdds)) }

// softplus is log(1 + e^x).
func softplus(x float64) float64 {
	if x > 0 {
		return x + math.Log1p(math.Exp(-x))
	}
	return math.Log1p(math.Exp(x))
}
