package api

import (
	"context"
	"fmt"
	"net/http"
	"net/mail"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/letter"
	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
)

// Mail is how letters leave. Without a host none do.
type Mail struct {
	Host           string
	Port           int
	User, Password string
	Security       string       // starttls, tls or none
	From           mail.Address // whom letters come from
	Pages          string       // where people reach the pages, https://…; empty where letters have no links
}

// post is where letters are handed over; tests have their own.
type post interface {
	Send(ctx context.Context, l letter.Letter) error
}

func postOf(m Mail) post {
	if m.Host == "" {
		return nil
	}
	return letter.Server{Host: m.Host, Port: m.Port, User: m.User, Password: m.Password, Security: letter.Security(m.Security)}
}

func letterToWire(r store.Record[store.Letter]) wire.Letter {
	return wire.Letter{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		SiteID: r.Value.SiteID, SectionID: r.Value.SectionID, Stopped: r.Value.Stopped,
	}
}

// PutLetter implements PUT /letters/{id}.
func (s *server) PutLetter(c echo.Context, id domain.ID, p wire.PutLetterParams) error {
	from := func(id domain.ID, b wire.LetterBody) store.Letter {
		return store.Letter{ID: id, SiteID: b.SiteID, SectionID: b.SectionID, Stopped: b.Stopped}
	}
	return s.put(c, writerOf(s, daily, from, s.Store.PutLetter, letterToWire), id, p.IfMatch)
}

// GetLetter implements GET /letters/{id}.
func (s *server) GetLetter(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Letter, letterToWire)
}

// ListLetters implements GET /letters.
func (s *server) ListLetters(c echo.Context, p wire.ListLettersParams) error {
	return list(c, p.Limit, p.After, s.Store.Letters, letterToWire)
}

// SendLetterNow implements POST /letter-now.
func (s *server) SendLetterNow(c echo.Context) error {
	a := actorOf(c)
	if !daily(a) {
		return errForbidden
	}
	raw, err := readBody(c, mostBody)
	if err != nil {
		return err
	}
	body, err := decode[wire.LetterNow](s.contract, raw)
	if err != nil {
		return err
	}
	if s.letters == nil {
		return errNoMail
	}
	if ok, err := s.fromLetters.Allow(a.PersonID.String()); err != nil || !ok {
		return errTooOften
	}
	ctx := c.Request().Context()
	view, err := s.viewOf(ctx, a, []subject{{body.SiteID, body.SectionID}})
	if err != nil {
		return err
	}
	if len(view.Sections) == 0 {
		return domain.Faults{{Path: "/section_id", Code: "not_found", Detail: "there is no such section at this site"}}
	}
	l := view.letter(s.Mail, a, s.Clock(), fmt.Sprintf("now-%s-%d", a.PersonID, s.Clock().UnixNano()))
	if err := s.letters.Send(ctx, l); err != nil {
		s.Log.WarnContext(ctx, "a letter was not taken", "error", err)
		return errMailServer
	}
	return c.NoContent(http.StatusNoContent)
}

// subject is what a letter is about.
type subject struct{ site, section domain.ID }

// viewOf reads what a letter says.
func (s *server) viewOf(ctx context.Context, a store.Actor, of []subject) (letterView, error) {
	v := letterView{say: spokenIn(a.Language)}
	read := map[domain.ID]*weekReading{}
	for _, x := range of {
		r := read[x.site]
		if r == nil {
			found, err := s.Store.Week(ctx, a, store.WeekQuery{SiteID: x.site})
			if err != nil {
				return v, err
			}
			if r, err = newWeekReading(found, x.site, domain.Week{}, domain.ID{}); err != nil {
				return v, err
			}
			read[x.site] = r
			names, err := s.organismNames(ctx, a, r.Present.OrganismID)
			if err != nil {
				return v, err
			}
			r.organism = names
		}
		v.add(r, x.section, s.Mail.Pages)
	}
	return v, nil
}

// organismNames gives what an organism is called in the language of a person.
func (s *server) organismNames(ctx context.Context, a store.Actor, id domain.ID) (string, error) {
	if id.IsZero() {
		return "", nil
	}
	x, err := s.Store.Organism(ctx, a, id)
	if err != nil {
		return "", err
	}
	if a.Language == "es" {
		return x.Value.CommonNameES, nil
	}
	return x.Value.CommonName, nil
}
