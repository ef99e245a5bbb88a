package simulation

import (
	"fmt"
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// aboutToDiscard does what comes with a discard of the story: the strike before the
// cuttings without roots go, the paper of what was rejected. What was picked out
// during an inspection that ended with a hold was thrown out before the hold.
func (k *keeping) aboutToDiscard(l *life, m *stock.Movement) {
	switch {
	case m.Reason == "rejected at the dock":
		m.PaperNumber = k.number("DR-26-%03d", 17)
	case m.Reason == didNotRoot:
		if lost := k.unrooted[m.LotID]; lost > 0 {
			delete(k.unrooted, m.LotID)
			k.strike(l, m, lost)
		}
	case m.FromBlockID.IsZero() && !l.heldSince.IsZero():
		m.MovedAt = l.heldSince.Add(-15 * time.Second)
	}
}

// number gives the next number of a kind of paper, from the first one on.
func (k *keeping) number(form string, first int) string {
	k.papers[form]++
	return fmt.Sprintf(form, first+k.papers[form]-1)
}

// strike records how many cuttings have roots, when those without are thrown out,
// and plans the work that comes after.
func (k *keeping) strike(l *life, m *stock.Movement, lost int) {
	l.ready = true
	at := m.MovedAt.Add(-minutes(k.around(1, 2)))
	k.record(at, k.growerAt(m.FromBlockID), 0, stock.Movement{
		ID: k.id(at), LotID: m.LotID, Kind: stock.Root, MovedAt: at, Plants: l.stuck, Rooted: l.stuck - lost,
	})
	k.planFor(l, m.LotID, domain.DateOf(at), 5, 10)
}

// pot plans the work that comes after rooted plants are potted.
func (k *keeping) pot(l *life, m stock.Movement) {
	if !m.FromBlockID.IsZero() || l.ready {
		return
	}
	l.ready = true
	k.planFor(l, m.LotID, domain.DateOf(m.MovedAt), 10, 15)
}

// planFor plans the pinch of a lot and, for a few, the spacing.
func (k *keeping) planFor(l *life, lot domain.ID, day domain.Date, from, to int) {
	pinch := k.at(l.site, workday(day.AddDays(k.between(from, to))), k.around(afternoon, 16*hour))
	if k.chance(0.55) {
		k.plan(pinch, func(at time.Time) { k.eachOf(lot, at, k.pinch) })
	}
	spaced := k.at(l.site, workday(day.AddDays(k.between(to, to+4))), k.around(afternoon, 16*hour))
	if k.chance(0.2) {
		k.plan(spaced, func(at time.Time) { k.eachOf(lot, at, k.space) })
	}
}

// eachOf does something with every lot that has plants which the story knows as
// those of a lot, in pots.
func (k *keeping) eachOf(told domain.ID, at time.Time, do func(lot domain.ID, at time.Time)) {
	var lots []domain.ID
	for _, p := range k.portions {
		if p.told.lot == told && p.plants > 0 && !slices.Contains(lots, p.kept.lot) {
			lots = append(lots, p.kept.lot)
		}
	}
	for _, lot := range lots {
		do(lot, at)
	}
}

// in gives how many plants of a lot stand where, in the order in which they came.
func (k *keeping) in(lot domain.ID) []taken {
	var all []taken
	for _, p := range k.portions {
		if p.kept.lot != lot || p.plants == 0 {
			continue
		}
		if i := slices.IndexFunc(all, func(t taken) bool { return t.kept == p.kept }); i >= 0 {
			all[i].plants += p.plants
			continue
		}
		all = append(all, taken{p.kept, p.plants})
	}
	return all
}

// growerAt gives who looks after a block.
func (k *keeping) growerAt(id domain.ID) string {
	if i, known := k.blockOf[id]; known {
		return k.blocks[i].grower
	}
	return Receiver
}

func (k *keeping) pinch(lot domain.ID, at time.Time) {
	plants, where := 0, k.in(lot)
	for _, t := range where {
		plants += t.plants
	}
	k.record(at, k.growerAt(where[0].kept.block), 0, stock.Movement{ID: k.id(at), LotID: lot, Kind: stock.Pinch, MovedAt: at, Plants: plants})
}

// space sets the pots of a lot apart where they stand.
func (k *keeping) space(lot domain.ID, at time.Time) {
	for _, t := range k.in(lot) {
		if h := k.houseOf(t.kept.block); h == nil || h.rooting {
			continue
		}
		k.record(at, k.growerAt(t.kept.block), 0, stock.Movement{
			ID: k.id(at), LotID: lot, Kind: stock.Space, MovedAt: at, Plants: t.plants,
			FromBlockID: t.kept.block, ToBlockID: t.kept.block,
		})
	}
}

// planWork plans, from August on, a recount at each site on Fridays and what the
// people throw out on Thursdays.
func (k *keeping) planWork() {
	for day := domain.NewDate(Year, time.August, 6); day.Before(k.season.EndsOn); day = day.AddDays(7) {
		for site := range k.sites {
			k.plan(k.at(site, day, 16.6*hour), func(at time.Time) { k.throwSomeOut(site, at) })
			k.plan(k.at(site, day.AddDays(1), 16.7*hour), func(at time.Time) { k.recount(site, at) })
		}
	}
}

func (k *keeping) throwSomeOut(site int, at time.Time) {
	if !k.chance(0.6) {
		return
	}
	if p := k.draw(site, 150, nil); p != nil {
		k.discard(p, k.between(3, 14), at, pick(k.story, []string{"Botrytis", "broken", "wilted, root rot", "too small"}))
	}
}

func (k *keeping) discard(p *portion, plants int, at time.Time, reason string) {
	p.plants -= plants
	k.record(at, k.growerAt(p.kept.block), 0, stock.Movement{
		ID: k.id(at), LotID: p.kept.lot, Kind: stock.Discard, MovedAt: at, Plants: plants, FromBlockID: p.kept.block, Reason: reason,
	})
}

// recount counts a block anew: mostly a few are missing, now and then there is one
// more than the book has.
func (k *keeping) recount(site int, at time.Time) {
	p := k.draw(site, 150, nil)
	if p == nil {
		return
	}
	difference := -k.between(0, 4)
	if k.chance(0.2) {
		difference = k.between(1, 2)
	}
	p.plants += difference
	found := 0
	for _, t := range k.in(p.kept.lot) {
		if t.kept == p.kept {
			found = t.plants
		}
	}
	k.record(at, k.growerAt(p.kept.block), 0, stock.Movement{
		ID: k.id(at), LotID: p.kept.lot, Kind: stock.Count, MovedAt: at, Plants: found, FromBlockID: p.kept.block,
	})
}

// draw draws plants in pots at a site: so many at least, settled and as asked; nil
// when there are none.
func (k *keeping) draw(site, least int, asked func(*portion) bool) *portion {
	var fit []*portion
	for _, p := range k.portions {
		h := k.houseOf(p.kept.block)
		if p.plants < least || h == nil || h.rooting || h.site != site || !k.settled(p.kept.lot) {
			continue
		}
		if asked == nil || asked(p) {
			fit = append(fit, p)
		}
	}
	if len(fit) == 0 {
		return nil
	}
	return pick(k.story, fit)
}
