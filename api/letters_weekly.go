package api

import (
	"context"
	"errors"
	"fmt"
	"time"

	"benchtrail/api/store"
	"benchtrail/domain"
)

// Letters leave on Mondays from six in the morning on, before people walk. What could not
// leave then, for the program or the mail server was down, still does until the end of
// Tuesday: after that it is old news.
const (
	fromHour  = 6
	untilDays = 2
	lookEvery = 5 * time.Minute
)

// SendLetters sends the weekly letters, each person theirs on Monday, until ctx ends.
func SendLetters(ctx context.Context, d Deps) {
	s := &server{Deps: d, letters: postOf(d.Mail)}
	if s.letters == nil {
		return
	}
	for ctx.Err() == nil {
		if err := s.sendDue(ctx); err != nil && ctx.Err() == nil {
			d.Log.WarnContext(ctx, "letters stay for later", "error", err)
		}
		select {
		case <-ctx.Done():
		case <-time.After(lookEvery):
		}
	}
}

// sendDue sends what is due. One that cannot be sent keeps no other back.
func (s *server) sendDue(ctx context.Context) error {
	wanted, err := s.Store.LettersWanted(ctx)
	if err != nil {
		return err
	}
	var wrong []error
	for len(wanted) > 0 {
		n := 1
		for n < len(wanted) && wanted[n].Addressee == wanted[0].Addressee {
			n++
		}
		if err := s.sendTo(ctx, wanted[:n]); err != nil {
			wrong = append(wrong, fmt.Errorf("letter to %s: %w", wanted[0].PersonID, err))
		}
		wanted = wanted[n:]
	}
	return errors.Join(wrong...)
}

// dueOn gives the Monday of the letter that is due to a person now, if one is: where the
// sites keep several clocks, when it is time at all of them. What was asked for later
// than that comes with the next.
func dueOn(now time.Time, wanted []store.Wanted) (monday domain.Date, of []subject, due bool) {
	for i, w := range wanted {
		here := now.In(w.Zone)
		week := domain.DateOf(here).Week().Monday()
		start := week.Time()
		opens := time.Date(start.Year(), start.Month(), start.Day(), fromHour, 0, 0, 0, w.Zone)
		closes := time.Date(start.Year(), start.Month(), start.Day()+untilDays, 0, 0, 0, 0, w.Zone)
		if i > 0 && week != monday || now.Before(opens) || !now.Before(closes) {
			return monday, nil, false
		}
		monday = week
		if w.Since.Before(opens) {
			of = append(of, subject{w.SiteID, w.SectionID})
		}
	}
	return monday, of, len(of) > 0
}

func (s *server) sendTo(ctx context.Context, wanted []store.Wanted) error {
	now := s.Clock()
	monday, of, due := dueOn(now, wanted)
	if !due {
		return nil
	}
	a, err := s.Store.ActorOfAddressee(ctx, wanted[0].Addressee)
	if isOver(err) {
		return nil
	}
	if err != nil {
		return err
	}
	if sent, err := s.Store.LetterSent(ctx, a, monday); err != nil || sent {
		return err
	}
	var may []subject // who may not see a site any more is told nothing of it
	for _, x := range of {
		if a.Sees(x.site) {
			may = append(may, x)
		}
	}
	if len(may) == 0 {
		return nil
	}
	view, err := s.viewOf(ctx, a, may)
	if err != nil {
		return err
	}
	_, err = s.Store.SendLetterOnce(ctx, a, monday, func(ctx context.Context) error {
		return s.letters.Send(ctx, view.letter(s.Mail, a, now, "week-"+monday.String()+"-"+a.PersonID.String()))
	})
	return err
}
