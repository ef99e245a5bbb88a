package api

import (
	"cmp"
	"slices"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/arrival"
	"benchtrail/domain/scouting"
	"benchtrail/domain/trend"
)

func (r *weekReading) out(site domain.ID) wire.WeekReading {
	out := wire.WeekReading{
		SiteID: site, AsOf: domain.DateOf(r.Now), Week: r.shown.Week.String(), PresentWeek: r.Present.Week.String(),
		Because: r.because, AdviceHolds: r.adviseful, Sections: []wire.WeekSection{}, Advice: []wire.Advice{},
		SecondLooks: each(r.Due.SecondLooks, r.secondLookToWire), Holds: each(r.Due.Holds, r.holdToWire), Claims: each(r.Due.Claims, weekClaimToWire),
	}
	if !r.Advice.Season.ID.IsZero() {
		out.SeasonID = &r.Advice.Season.ID
	}
	if !r.Present.OrganismID.IsZero() {
		out.OrganismID = &r.Present.OrganismID
	}
	var latest domain.Date
	for _, read := range r.lotRead {
		if n := len(read.Points); n > 0 && read.Points[n-1].WeekStart.After(latest) {
			latest = read.Points[n-1].WeekStart
		}
	}
	if !latest.IsZero() {
		out.LatestWeek = latest.Week().String()
	}
	for _, section := range r.sections() {
		out.Sections = append(out.Sections, r.sectionToWire(section))
	}
	for i, x := range r.Advice.Items {
		if r.used[i] {
			out.Advice = append(out.Advice, adviceToWire(x, r.read.Groups[i], r.Advice.Limits))
		}
	}
	return out
}

func (r *weekReading) sectionToWire(x store.WeekSection) wire.WeekSection {
	out := wire.WeekSection{
		Name: x.Name, Grower: x.Grower, Lots: len(r.stands[x.ID]), Listed: []wire.WeekLot{}, Decisions: r.decisions(x.ID),
		Round: r.roundToWire(r.rounds[x.ID], r.shown.Week), Plan: r.roundToWire(r.plans[x.ID], r.Present.Week),
	}
	if !x.ID.IsZero() {
		out.SectionID = &x.ID
	}
	if !x.GrowerID.IsZero() {
		out.GrowerID = &x.GrowerID
	}
	if looked := r.looked[x.ID]; looked != nil {
		out.PlantsLookedAt, out.InfestedPlants, out.BlocksLookedAt = looked.plants, looked.infested, len(looked.blocks)
	}
	out.Adults, out.SignsPlantsLookedAt = r.adults(x.ID)
	n := &out.Counts
	by := map[advice.Concern]*int{
		advice.OverLimit: &n.Over, advice.HeadingOver: &n.HeadingOver, advice.NearLimit: &n.Near, advice.Unsettled: &n.Unsettled,
		advice.WellBelow: &n.Below, advice.Unlimited: &n.NoLimit, advice.NotLookedAt: &n.NotLookedAt,
	}
	for _, lot := range r.lotsOf(x.ID) {
		*by[lot.Concern]++
		switch {
		case !lot.NeedsAPerson():
		case len(out.Listed) < mostListed && (r.listFor.IsZero() || r.listFor == x.ID):
			out.Listed = append(out.Listed, r.lotToWire(x.ID, lot))
		default:
			out.MoreListed++
		}
	}
	return out
}

func (r *weekReading) lotToWire(section domain.ID, x advice.LotThisWeek) wire.WeekLot {
	lot, read, limits := r.Lots[x.LotID], r.lotRead[x.LotID], r.limitsOfLot(x.LotID)
	out := wire.WeekLot{
		LotID: x.LotID, Code: lot.Code, CultivarID: lot.CultivarID, Cultivar: lot.Cultivar, ArrivedOn: lot.ArrivedOn, Concern: wire.WeekConcern(x.Concern),
		Places: []wire.WeekPlace{}, Houses: []domain.ID{}, Answer: answerToWire(x.Answer), Limits: each(limits, limitToWire),
	}
	for _, stand := range r.stands[section][x.LotID] {
		out.StandingPlants += stand.Plants
		out.Places = append(out.Places, r.placeOf(stand.BlockID))
	}
	slices.SortStableFunc(out.Places, func(a, b wire.WeekPlace) int {
		return cmp.Or(cmp.Compare(a.House, b.House), cmp.Compare(r.Blocks[a.BlockID].Position, r.Blocks[b.BlockID].Position))
	})
	for _, item := range r.itemsOf(section, x.LotID) {
		r.used[item] = true
		out.Houses = append(out.Houses, r.Advice.Items[item].HouseID)
	}
	points := read.Points
	out.Points = each(points[max(0, len(points)-weeksShown):], pointToWire)
	if n := len(points); n > 1 {
		c := trend.ChangeBetween(points[n-2], points[n-1])
		out.Change = &wire.WeekChange{SinceWeek: c.Since.Week().String(), Points: c.Points, LowerPoints: c.Lower, UpperPoints: c.Upper}
	}
	if x.Known {
		chance := 100 * x.Chance
		on, _ := advice.Horizon(limits, r.on)
		out.OverLimitPercent, out.OverLimitOn = &chance, &on
	}
	return out
}

func (r *weekReading) placeOf(block domain.ID) wire.WeekPlace {
	b := r.Blocks[block]
	return wire.WeekPlace{HouseID: b.HouseID, House: b.House, BlockID: block, Block: b.Name}
}

func (r *weekReading) roundToWire(w *scouting.Walked, week domain.Week) wire.WeekRound {
	if w == nil {
		w = &scouting.Walked{}
	}
	return wire.WeekRound{
		Week: week.String(), Blocks: w.Planned, BlocksDone: w.Done, Plants: w.Plants, PlantsDone: w.PlantsDone, Minutes: w.Minutes,
		Missed: each(w.Missed, r.placeOf),
	}
}

// sectionsNow gives the sections where a lot stands now, as a list that is never null.
func (r *weekReading) sectionsNow(lot domain.ID) wire.WeekSectionIDs {
	return append(wire.WeekSectionIDs{}, r.now[lot]...)
}

func (r *weekReading) secondLookToWire(x arrival.DueLook) wire.WeekSecondLook {
	return wire.WeekSecondLook{SecondLook: secondLookToWire(x), Cultivar: r.Lots[x.LotID].Cultivar, SectionIds: r.sectionsNow(x.LotID)}
}

func (r *weekReading) holdToWire(x store.LotHeld) wire.WeekHold {
	return wire.WeekHold{
		LotID: x.LotID, LotCode: x.LotCode, Kind: x.Kind, Scope: x.Scope, Reason: x.Reason, FromAt: x.From, ToAt: x.To, SectionIds: r.sectionsNow(x.LotID),
	}
}

func weekClaimToWire(x store.ClaimDue) wire.WeekClaim {
	out := wire.WeekClaim{ShipmentID: x.ShipmentID, Supplier: x.Supplier, ArrivedOn: x.ArrivedOn, ClosesAt: x.ClosesAt, SentAt: x.SentAt}
	if !x.ClaimID.IsZero() {
		out.ClaimID = &x.ClaimID
	}
	return out
}
