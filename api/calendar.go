package api

import (
	"errors"
	"math"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/ical"
	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/scouting"
)

// GetCalendar implements GET /calendar.
func (s *server) GetCalendar(c echo.Context, p wire.GetCalendarParams) error {
	ctx := c.Request().Context()
	a, site, err := s.Store.ActorOfCalendar(ctx, p.Token)
	if isOver(err) {
		return errCalendar
	}
	if err != nil {
		return err
	}
	found, err := s.Store.Week(ctx, a, store.WeekQuery{SiteID: site})
	if err != nil {
		return err
	}
	r, err := newWeekReading(found, site, domain.Week{}, domain.ID{})
	if err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderContentDisposition, `inline; filename="benchtrail.ics"`)
	return c.Blob(http.StatusOK, "text/calendar; charset=utf-8", []byte(r.calendar(spokenIn(a.Language)).String()))
}

// isOver reports whether somebody may sign in no more.
func isOver(err error) bool {
	var ended store.Ended
	return errors.Is(err, store.ErrNotFound) || errors.As(err, &ended)
}

// lastHour is how long a claim stands in a calendar before it closes.
const lastHour = time.Hour

// calendar gives what is due with a day or a moment: holds end when somebody lifts them.
func (r *weekReading) calendar(say spoken) ical.Calendar {
	c := ical.Calendar{Name: say.due(r.Site), Zone: r.Now.Location(), Made: r.Now}
	uid := func(kind string, id domain.ID, more string) string {
		return kind + "-" + id.String() + more + "@benchtrail"
	}
	var round scouting.Walked
	for _, w := range r.plans {
		round.Planned, round.Done = round.Planned+w.Planned, round.Done+w.Done
		round.Plants, round.Minutes = round.Plants+w.Plants, round.Minutes+w.Minutes
	}
	if monday := r.Present.Week.Monday(); round.Planned > 0 {
		c.Events = append(c.Events, ical.Event{
			UID: uid("round", r.SiteID, "-"+r.Present.Week.String()), On: monday, Until: monday.AddDays(4), Categories: say.round,
			Summary:     say.roundOf(r.Present.Week),
			Description: say.planned(round.Planned, round.Plants, int(math.Round(round.Minutes)), round.Done),
		})
	}
	today := domain.DateOf(r.Now)
	for _, x := range r.Due.SecondLooks {
		if x.To.Before(today) { // late: it stands on every day until it is made
			x.From, x.To = today, today
		}
		c.Events = append(c.Events, ical.Event{
			UID: uid("second-look", x.LotID, ""), On: x.From, Until: x.To, Categories: say.secondLook,
			Summary: say.secondLook + ": " + x.LotCode + " " + r.Lots[x.LotID].Cultivar,
		})
	}
	for _, x := range r.Due.Claims {
		if !x.SentAt.IsZero() {
			continue // it is the supplier's turn
		}
		c.Events = append(c.Events, ical.Event{
			UID: uid("claim", x.ShipmentID, ""), At: x.ClosesAt.Add(-lastHour), Lasts: lastHour, Categories: say.claim,
			Summary: say.claimCloses(x.Supplier), Description: say.arrivedOn(x.ArrivedOn),
		})
	}
	for _, x := range r.Due.Holds {
		if x.To.IsZero() {
			continue
		}
		c.Events = append(c.Events, ical.Event{
			UID: uid("hold", x.LotID, "-"+x.From.UTC().Format("20060102T150405Z")), At: x.To, Categories: say.hold,
			Summary: say.holdEnds(x.LotCode), Description: x.Reason,
		})
	}
	return c
}
