package stock

import (
	"bytes"
	"cmp"
	"slices"

	"benchtrail/domain"
)

// order puts the movements that count into the order in which they are entered:
// by moment, then by their place in a lot's life, then by id. Nothing in it depends
// on the order in which they became known.
func (k *keeper) order(movements []Movement) {
	type key struct {
		second           int64
		nanosecond, rank int
		m                *Movement
	}
	keys := make([]key, 0, len(movements))
	for i := range movements {
		if m := &movements[i]; m.Withdrawn == "" {
			keys = append(keys, key{m.MovedAt.Unix(), m.MovedAt.Nanosecond(), m.Kind.rank(), m})
		}
	}
	slices.SortFunc(keys, func(a, b key) int {
		if a.second != b.second { // almost always
			return cmp.Compare(a.second, b.second)
		}
		return cmp.Or(cmp.Compare(a.nanosecond, b.nanosecond), cmp.Compare(a.rank, b.rank), bytes.Compare(a.m.ID[:], b.m.ID[:]))
	})
	k.movements = make([]*Movement, len(keys))
	for i, key := range keys {
		k.movements[i] = key.m
	}
	k.claim()
}

// enterAll enters the movements moment by moment. Within a moment one whose lot
// has not begun waits for the split or merge that begins it, so that a child can be
// moved in the moment of its birth.
func (k *keeper) enterAll() {
	for next := 0; next < len(k.movements); {
		moment := next
		for next < len(k.movements) && k.movements[next].MovedAt.Equal(k.movements[moment].MovedAt) {
			next++
		}
		var waiting []int
		for at := moment; at < next; at++ {
			if next-moment > 1 && !k.ready(at) {
				waiting = append(waiting, at)
				continue
			}
			births := k.births
			k.enter(at)
			for born := k.births > births; born; {
				i := slices.IndexFunc(waiting, k.ready)
				if born = i >= 0; born {
					k.enter(waiting[i])
					waiting = slices.Delete(waiting, i, i+1)
				}
			}
		}
		for _, at := range waiting {
			k.enter(at)
		}
	}
}

// ready reports whether all lots that the movement takes plants from have begun.
func (k *keeper) ready(at int) bool {
	m := k.movements[at]
	alive := func(lot domain.ID) bool {
		e := k.entries[lot]
		return e != nil && e.alive()
	}
	if m.Kind != Merge {
		return alive(m.LotID)
	}
	for _, p := range m.Parts {
		if !alive(p.LotID) {
			return false
		}
	}
	return true
}

// claim notes for every lot which movements say that it began with them, and
// which lots are still to be received.
func (k *keeper) claim() {
	for i, m := range k.movements {
		for _, id := range m.Births() {
			if e := k.entries[id]; e != nil {
				e.claims = append(e.claims, i)
			}
		}
		if e := k.entries[m.LotID]; e != nil && m.Kind == Receive {
			e.receives = append(e.receives, i)
		}
	}
}

// circle gives the movements of a circle of claims that leads from the lot back
// to itself, or nil.
func (k *keeper) circle(lot domain.ID) []int {
	seen, claims := map[domain.ID]bool{}, map[int]bool{}
	var back func(id domain.ID) bool
	back = func(id domain.ID) bool {
		e := k.entries[id]
		if e == nil || e.arrival() || seen[id] {
			return false
		}
		seen[id] = true
		found := false
		for _, i := range e.claims {
			for _, parent := range k.movements[i].Sources() {
				if parent == lot || back(parent) {
					claims[i], found = true, true
				}
			}
		}
		return found
	}
	back(lot)
	return sortedKeys(claims)
}

func sortedKeys(set map[int]bool) []int {
	var all []int
	for i := range set {
		all = append(all, i)
	}
	slices.Sort(all)
	return all
}
