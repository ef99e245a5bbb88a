package scouting

import "benchtrail/domain"

// Walked is how much of the planned rounds of some blocks was walked.
type Walked struct {
	Planned    int // blocks
	Done       int // of them, those of which any plant was looked at
	Plants     int // planned
	PlantsDone int // of them, looked at; more of one block do not make up for another
	Minutes    float64
	Missed     []domain.ID // the planned blocks that nobody looked at, in walking order
}

// Add adds what a plan says of the blocks that are asked about.
func (w *Walked) Add(p Plan, asked func(block domain.ID) bool) {
	for _, b := range p.Blocks {
		if !asked(b.BlockID) {
			continue
		}
		w.Planned++
		w.Minutes += b.Minutes
		looked := 0
		for _, l := range b.Looks {
			w.Plants += l.Plants
			w.PlantsDone += min(l.Done, l.Plants)
			looked += l.Done
		}
		if looked == 0 {
			w.Missed = append(w.Missed, b.BlockID)
		} else {
			w.Done++
		}
	}
}

// WorthReading reports whether enough of a round was walked to be read: half of its
// blocks. Before that, what one sees is where the walk began (common practice).
func (w Walked) WorthReading() bool { return w.Done > 0 && 2*w.Done >= w.Planned }
