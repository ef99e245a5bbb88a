package simulation

import (
	"fmt"
	"math"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stock"
)

// inspectAtDock looks at a sample of a lot at the dock and decides. It gives the
// minutes it took.
func (s *story) inspectAtDock(l *lot, day domain.Date, minute float64) float64 {
	x, took := s.inspect(l, l.waiting, arrival.AtDock, Receiver, day, minute)
	decision := s.decide(l, &x, Receiver)
	if decision == arrival.Dip {
		s.spread.dip(l.waiting, 0.5)
	}
	s.putAway(l, decision, day, minute+took)
	return took
}

// inspectAgain is the second look, at plants from wherever the lot stands.
func (s *story) inspectAgain(l *lot, day domain.Date) {
	stands := s.spread.of(l.number)
	if len(stands) == 0 {
		return
	}
	var plants []age
	for _, st := range stands {
		plants = append(plants, st.plants...)
	}
	by := s.blocks[stands[0].block].grower
	x, _ := s.inspect(l, plants, arrival.SecondLook, by, day, s.around(13*hour, 16*hour))
	s.decide(l, &x, by)
}

// inspect looks at plants of the row, and records what it found.
func (s *story) inspect(l *lot, row []age, occasion arrival.Occasion, by string, day domain.Date, minute float64) (arrival.Inspection, float64) {
	advised, err := arrival.AdviseSample(l.Plants, arrival.DefaultDetectionPercent, arrival.DefaultConfidencePercent, arrival.DefaultSensitivityPercent)
	if err != nil {
		s.fail(fmt.Errorf("sample of lot %s: %w", l.Code, err))
	}
	// Some are in a hurry, and a lens is sometimes not at hand.
	n := min(advised.Units, len(row), l.Plants)
	if s.chance(0.08) {
		n = min(n, s.between(30, 45))
	}
	lens := pick(s, []float64{10, 15, 15, 20})
	if s.chance(0.04) {
		lens = 0
	}
	took := 2.5 + float64(n)*s.around(0.07, 0.1)
	at := s.at(l.site, day, minute+took)
	x := arrival.Inspection{
		ID: s.id(at), LotID: l.ID, Occasion: occasion, InspectedAt: at, InspectorID: s.known.People[by], LensPower: lens,
		DetectionPercent: arrival.DefaultDetectionPercent, ConfidencePercent: arrival.DefaultConfidencePercent,
		SensitivityPercent: arrival.DefaultSensitivityPercent,
		Findings:           []arrival.Finding{s.look(row, n, lens)},
	}
	if occasion == arrival.AtDock {
		s.lookAtPlants(&x, l, n)
	}
	s.record(at, by, 0, x)
	return x, took
}

// look draws n plants of the row and notes the whitefly on them. Eggs, all there
// is in the first week, need a lens.
func (s *story) look(row []age, n int, lens float64) arrival.Finding {
	finding := arrival.Finding{OrganismID: s.whitefly(), PlantsLookedAt: n}
	var eggs, small, large int
	for _, i := range s.rng.Perm(len(row))[:n] {
		a := row[i]
		sees := 0.9
		switch {
		case a == 0:
			continue
		case lens == 0:
			sees = visible(a)
		case a == 1:
			sees = 0.7
		}
		if !s.chance(sees) {
			continue
		}
		finding.InfestedPlants++
		switch a {
		case 1:
			eggs++
		case 2:
			small++
		default:
			small++
			large++
		}
	}
	for _, sign := range []arrival.Sign{
		{Stage: scouting.Egg, State: scouting.Alive, Plants: eggs},
		{Stage: scouting.SmallNymph, State: scouting.Alive, Plants: small},
		{Stage: scouting.LargeNymph, State: scouting.Alive, Plants: large},
	} {
		if sign.Plants > 0 {
			finding.Signs = append(finding.Signs, sign)
		}
	}
	return finding
}

// lookAtPlants notes condition, roots and diseases of the plants looked at.
func (s *story) lookAtPlants(x *arrival.Inspection, l *lot, n int) {
	some := min(30, n)
	for range some {
		switch u := s.rng.Float64(); {
		case u < l.damage/3:
			x.Condition.Unusable++
		case u < l.damage:
			x.Condition.BadlyDamaged++
		case u < 2*l.damage+0.04:
			x.Condition.SlightlyDamaged++
		default:
			x.Condition.Sound++
		}
	}
	x.LeafSpots.PlantsLookedAt = n
	if s.chance(0.06) {
		x.LeafSpots.PlantsWith = s.between(1, 3)
	}
	if s.chance(0.04) || l.damage > 0.2 {
		x.OtherDiseases = []arrival.Incidence{{Name: "Botrytis", PlantsLookedAt: n, PlantsWith: s.between(1, 4)}}
	}
	if l.Form == stock.Rooted {
		x.Roots.Brown = s.rng.IntN(2)
		x.Roots.PartlyBrown = s.between(0, 3)
		x.Roots.White = 15 - x.Roots.Brown - x.Roots.PartlyBrown
	}
	if l.damage > 0.15 {
		x.Note = "Lower leaves yellow, box was warm."
	}
}

// decide is what a person makes of the suggestion, signed some minutes later.
func (s *story) decide(l *lot, x *arrival.Inspection, by string) arrival.Decision {
	reading, err := arrival.Read(*x, arrival.Known{LotPlants: l.Plants, MainOrganismID: s.whitefly(), LimitPercent: arrivalLimit})
	if err != nil {
		s.fail(fmt.Errorf("inspection of lot %s: %w", l.Code, err))
		return arrival.Accept
	}
	v := arrival.Verdict{InspectionID: x.ID}
	v.Decision, v.Because = s.opinion(l, x, reading.Suggestion)
	if x.Condition.Unusable > 1 && v.Decision != arrival.Reject {
		v.Because = fmt.Sprintf("%d of %d unusable, claim sent", x.Condition.Unusable, x.Condition.Total())
	}
	at := x.InspectedAt.Add(minutes(s.around(0.3, 1.2)))
	v.ID = s.id(at)
	s.record(at, by, 0, v)
	return v.Decision
}

// opinion is the decision of a person who was given a suggestion, with the reason
// written down, if any. Nobody holds or rejects plants that have been stuck.
func (s *story) opinion(l *lot, x *arrival.Inspection, suggestion arrival.Decision) (arrival.Decision, string) {
	finding := x.Findings[0]
	found := fmt.Sprintf("whitefly on %d of %d", finding.InfestedPlants, finding.PlantsLookedAt)
	switch {
	case suggestion == arrival.Accept:
		if x.Occasion == arrival.AtDock && s.chance(0.05) {
			return arrival.AcceptAndWatch, "the supplier had finds before"
		}
		return arrival.Accept, ""
	case finding.InfestedPlants == 0:
		if suggestion == arrival.AcceptAndWatch && s.chance(0.4) {
			return arrival.Accept, ""
		}
		if x.Occasion == arrival.AtDock {
			return suggestion, ""
		}
		return arrival.AcceptAndWatch, ""
	case x.Occasion == arrival.SecondLook:
		return arrival.AcceptAndWatch, found + " at the second look"
	case suggestion == arrival.Reject && s.chance(0.5):
		return arrival.Hold, found + ", needed for an order: kept apart"
	case suggestion != arrival.Reject && s.chance(0.4):
		if l.Form == stock.Rooted { // too big to be dipped
			return arrival.Hold, found
		}
		return arrival.Dip, found + ", dipped before sticking as the label allows"
	default:
		return suggestion, found
	}
}

// putAway throws out what is no good and puts the rest where it grows.
func (s *story) putAway(l *lot, decision arrival.Decision, day domain.Date, minute float64) {
	at := s.at(l.site, day, minute+s.around(2, 4))
	if decision == arrival.Reject {
		s.recordDiscard(l, len(l.waiting), domain.ID{}, at, Receiver, "rejected at the dock")
		l.waiting = nil
		return
	}
	bad := int(math.Round(l.damage * float64(len(l.waiting)) * 0.7))
	if s.chance(0.5) {
		bad += int(float64(len(l.waiting)) * s.around(0.005, 0.025))
	}
	if bad > 0 {
		s.recordDiscard(l, bad, domain.ID{}, at, Receiver, pick(s, []string{"yellow leaves", "broken", "wilted"}))
		l.waiting = s.spread.throwOut(l.waiting, bad)
	}
	s.bringIn(l, day, max(13*hour, minute+s.around(30, 60)))
}

func (s *story) recordDiscard(l *lot, plants int, from domain.ID, at time.Time, by, reason string) {
	s.record(at, by, 0, stock.Movement{
		ID: s.id(at), LotID: l.ID, Kind: stock.Discard, MovedAt: at, Plants: plants, FromBlockID: from, Reason: reason,
	})
}
