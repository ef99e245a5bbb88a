package simulation

import (
	"context"
	"fmt"
	"sync"
)

// Trial is what invented seasons show of how well plan, estimates, forecast and
// advice do. Its String is the table.
type Trial struct {
	Seasons int
	Seed    uint64
	trialResult
}

// trialResult is what one season, or several, showed.
type trialResult struct {
	fixed, planned armResult
	stops          []trialStop
	calls          []trialCall
}

// armResult is what one way to scout showed.
type armResult struct {
	estimates []trialEstimate
	open      []openForecast // until their day comes
	forecasts []trialForecast
}

func (r *armResult) add(more armResult) {
	r.estimates = append(r.estimates, more.estimates...)
	r.forecasts = append(r.forecasts, more.forecasts...)
}

func (r *trialResult) add(more trialResult) {
	r.fixed.add(more.fixed)
	r.planned.add(more.planned)
	r.stops = append(r.stops, more.stops...)
	r.calls = append(r.calls, more.calls...)
}

// MostSeasons is the largest trial.
const MostSeasons = 10_000

// NewTrial runs so many seasons, 1 to MostSeasons, so many at a time, at least one.
// The same seed gives the same trial, and the first seasons of a larger
// one are those of a smaller. It fails when ctx ends before it is done, or when
// estimates or advice fail.
func NewTrial(ctx context.Context, seasons int, seed uint64, atATime int) (Trial, error) {
	if seasons < 1 || seasons > MostSeasons {
		return Trial{}, fmt.Errorf("%d seasons: give 1 to %d", seasons, MostSeasons)
	}
	results, failed := make([]trialResult, seasons), make([]error, seasons)
	numbers := make(chan int)
	var workers sync.WaitGroup
	for range max(1, atATime) {
		workers.Go(func() {
			for i := range numbers {
				if failed[i] = ctx.Err(); failed[i] == nil {
					results[i], failed[i] = tryOut(seed, i)
				}
			}
		})
	}
	for i := range seasons {
		numbers <- i
	}
	close(numbers)
	workers.Wait()
	t := Trial{Seasons: seasons, Seed: seed}
	for i, r := range results {
		if failed[i] != nil {
			return Trial{}, fmt.Errorf("season %d: %w", i+1, failed[i])
		}
		t.add(r)
	}
	return t, nil
}

// tryOut runs one season with all that is tried on it.
func tryOut(seed uint64, number int) (trialResult, error) {
	var (
		s       = newTrialSeason(seed, number)
		fixed   = newTrialArm(source(seed, number, fixedStream))
		planned = newTrialArm(source(seed, number, plannedStream))
		compare = source(seed, number, comparedStream)
		limits  = trialLimits()
		calls   = map[trialGroup]*trialCall{}
		result  trialResult
	)
	for s.week < trialFirstRound {
		s.end()
	}
	for ; s.week <= trialLimitWeek; s.end() {
		groups, _ := s.groups()
		for _, g := range groups {
			if calls[g] == nil {
				calls[g] = &trialCall{baseline: never, advice: never}
			}
		}
		for h := range s.houses {
			s.note(fixed, s.lookFixed(fixed.rng, s.halfOfBlocks(fixed.rng, h)))
		}
		if _, err := s.learn(fixed, &result.fixed); err != nil {
			return trialResult{}, err
		}
		if s.week == trialBaseline {
			s.callBaseline(fixed, calls)
		}

		stops, err := s.roundByPlan(planned, compare, limitOn(limits))
		if err != nil {
			return trialResult{}, err
		}
		result.stops = append(result.stops, stops...)
		readings, err := s.learn(planned, &result.planned)
		if err != nil {
			return trialResult{}, err
		}
		s.callAdvice(planned, readings, limits, calls)

		if s.week == trialLimitWeek {
			result.calls = s.ends(groups, calls)
			result.fixed.forecasts = s.judge(result.fixed.open)
			result.planned.forecasts = s.judge(result.planned.open)
		}
	}
	return result, nil
}

// learn reads what an arm has found so far, holds its estimates against the truth
// and makes its forecasts.
func (s *trialSeason) learn(arm *trialArm, result *armResult) ([]trialReading, error) {
	readings, err := s.read(arm)
	if err != nil {
		return nil, err
	}
	estimates, err := s.estimates(readings)
	if err != nil {
		return nil, err
	}
	result.estimates = append(result.estimates, estimates...)
	result.open = append(result.open, s.forecast(readings)...)
	return readings, nil
}
