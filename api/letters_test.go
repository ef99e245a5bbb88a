package api

import (
	"context"
	"errors"
	unescaped "html"
	"io"
	"log/slog"
	"mime"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/httptest"
	"net/mail"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/emersion/go-smtp"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/domain"
)

// mailbox is a real SMTP server on this machine that keeps what it is given.
type mailbox struct {
	mu      sync.Mutex
	letters []string
	full    bool // takes nothing
}

func (b *mailbox) NewSession(*smtp.Conn) (smtp.Session, error) { return inbox{b}, nil }

type inbox struct{ *mailbox }

func (b inbox) Mail(string, *smtp.MailOptions) error { return nil }
func (b inbox) Rcpt(string, *smtp.RcptOptions) error { return nil }
func (b inbox) Reset()                               {}
func (b inbox) Logout() error                        { return nil }
func (b inbox) Data(r io.Reader) error {
	text, err := io.ReadAll(r)
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.full {
		return errors.New("the mailbox is full")
	}
	b.letters = append(b.letters, string(text))
	return err
}

func (b *mailbox) fill(full bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.full = full
}

// taken gives what came since it was asked last.
func (b *mailbox) taken() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	letters := b.letters
	b.letters = nil
	return letters
}

func newMailbox(t *testing.T) (*mailbox, Mail) {
	t.Helper()
	b := &mailbox{}
	listener, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	server := smtp.NewServer(b)
	go func() { _ = server.Serve(listener) }()
	t.Cleanup(func() { _ = server.Close() })
	return b, Mail{
		Host: "127.0.0.1", Port: listener.Addr().(*net.TCPAddr).Port, Security: "none",
		From: mail.Address{Name: "Benchtrail", Address: "benchtrail@nursery.test"}, Pages: "https://trail.nursery.test/",
	}
}

func (r *running) weekly(m Mail) *server {
	return &server{Deps: Deps{Store: r.store, Clock: r.clock.Now, Log: slog.New(slog.DiscardHandler), Mail: m}, letters: postOf(m)}
}

// openLetter reads an e-mail as a mail program does.
func openLetter(t *testing.T, raw string) (m *mail.Message, subject, text, html string) {
	t.Helper()
	m, err := mail.ReadMessage(strings.NewReader(raw))
	require.NoError(t, err)
	subject, err = new(mime.WordDecoder).DecodeHeader(m.Header.Get("Subject"))
	require.NoError(t, err)
	kind, params, err := mime.ParseMediaType(m.Header.Get("Content-Type"))
	require.NoError(t, err)
	require.Equal(t, "multipart/alternative", kind)
	parts := multipart.NewReader(m.Body, params["boundary"])
	for _, body := range []*string{&text, &html} {
		part, err := parts.NextPart()
		require.NoError(t, err)
		raw, err := io.ReadAll(part)
		require.NoError(t, err)
		*body = strings.ReplaceAll(string(raw), "\r\n", "\n")
	}
	_, err = parts.NextPart()
	require.ErrorIs(t, err, io.EOF)
	return m, subject, text, html
}

// At half past six in the morning of a Monday in Chicago, a week on.
var nextMonday = time.Date(2026, time.September, 21, 11, 30, 0, 0, time.UTC)

func TestAWeeklyLetterLeavesOnMondayMorningOnceForEachPerson(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	x := newCrop(c)
	x.inSections(c)
	site, err := domain.ParseID(x.site)
	require.NoError(t, err)
	grower := r.person(t, owner, "Núria", store.SiteRole{Role: store.Grower, SiteID: site})
	exec(t, r, `update person set language = 'es' where id = $1`, grower.PersonID.String())
	c.new("letters", object{"site_id": x.site})
	theirs := r.signedIn(t, grower).new("letters", object{"site_id": x.site, "section_id": x.section})
	c.new("decisions", with(x.decision("spots"), object{"cultivar_id": x.close, "decided_at": "2026-09-14T10:00:00Z"}))

	box, m := newMailbox(t)
	send := func(at time.Time) []string {
		t.Helper()
		r.clock.Set(at)
		require.NoError(t, r.weekly(m).sendDue(t.Context()))
		return box.taken()
	}
	require.Empty(t, send(r.clock.Now()), "asked for after six on this Monday: the next is the first")
	require.Empty(t, send(nextMonday.Add(-31*time.Minute)), "not yet six in the zone of the site")

	r.clock.Set(nextMonday)
	var both sync.WaitGroup
	failed := make([]error, 2)
	for i := range failed { // two programs on one database
		both.Go(func() { failed[i] = r.weekly(m).sendDue(context.Background()) })
	}
	both.Wait()
	require.NoError(t, errors.Join(failed...))
	letters := map[string]string{}
	for _, raw := range box.taken() {
		to, _, _, _ := openLetter(t, raw)
		address, err := to.Header.AddressList("To")
		require.NoError(t, err)
		require.NotContains(t, letters, address[0].Address, "one letter each")
		letters[address[0].Address] = raw
	}
	require.Len(t, letters, 2)
	require.Empty(t, send(nextMonday.Add(2*time.Hour)), "also after a restart")

	sent, subject, text, html := openLetter(t, letters[owner.Email])
	require.Equal(t, "Week 38 at Fern site", subject)
	require.Equal(t, "en", sent.Header.Get("Content-Language"))
	for _, said := range []string{text, unescaped.UnescapeString(html)} {
		require.Contains(t, said, "2 of 3 lots are over or near the limit: 1 over it and 1 likely to be over the next one; ")
		require.Contains(t, said, "42 of 60 plants have ")
		require.Contains(t, said, "Since W37 +15 points (")
		require.Contains(t, said, "Fern house: consider selective chemical control")
		require.Contains(t, said, "Stay with biological control, Close in Fern house (Owner of Fernhollow, 14 Sep): not done yet")
		require.Contains(t, said, "Round of week 39: 2 blocks, ")
		require.NotContains(t, said, "<no value>")
	}
	require.Contains(t, text, "https://trail.nursery.test/week?section="+x.section+"&site="+x.site+"&week=2026-W38\n")
	require.Less(t, strings.Index(text, "Over: over its limit"), strings.Index(text, "Close: likely to be over"))

	_, subject, text, _ = openLetter(t, letters[grower.Email])
	require.Equal(t, "Semana 38 en Fern site", subject)
	require.Contains(t, text, "Buenos días, Núria.")
	require.Contains(t, text, "2 de 3 lotes están por encima o cerca del límite")
	require.Equal(t, 1, strings.Count(text, "Semana 38, del 14 sept al 20 sept"), "their section only")

	r.signedIn(t, grower).put("/letters/"+theirs, object{"site_id": x.site, "section_id": x.section, "stopped": true}, "If-Match", "1")
	require.Len(t, send(nextMonday.AddDate(0, 0, 7)), 1, "the next week, without who stopped it")
	exec(t, r, `update person set disabled = true where id = $1`, owner.PersonID.String())
	require.Empty(t, send(nextMonday.AddDate(0, 0, 14)), "nor to who may sign in no more")
}

func TestALetterThatCannotLeaveStaysUntilTheEndOfTuesday(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	x := newCrop(c)
	c.new("letters", object{"site_id": x.site})
	box, m := newMailbox(t)
	box.fill(true)
	r.clock.Set(nextMonday)
	require.ErrorContains(t, r.weekly(m).sendDue(t.Context()), "full")
	require.Zero(t, sql[int](t, r, `select count(*)::int from letter_sent`))
	box.fill(false)
	r.clock.Set(nextMonday.Add(20 * time.Hour))
	require.NoError(t, r.weekly(m).sendDue(t.Context()))
	require.Len(t, box.taken(), 1)

	r.clock.Set(nextMonday.AddDate(0, 0, 9))
	require.NoError(t, r.weekly(m).sendDue(t.Context()))
	require.Empty(t, box.taken(), "on Wednesday it is old news")
}

func TestALetterOfOneselfAtOnce(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	x := newCrop(c)
	requireRefused(t, c.do(http.MethodPost, "/letter-now", object{"site_id": x.site}), http.StatusConflict, "no_mail")
	require.Equal(t, false, c.get("/session")["letters"])

	box, m := newMailbox(t)
	handler, err := New(Deps{Store: r.store, Clock: r.clock.Now, Entropy: nil, Log: slog.New(slog.DiscardHandler), Version: "test", Mail: m})
	require.NoError(t, err)
	mailing := &running{url: serving(t, handler), store: r.store, clock: r.clock}
	c = mailing.signedIn(t, owner)
	require.Equal(t, true, c.get("/session")["letters"])
	require.Equal(t, http.StatusNoContent, c.do(http.MethodPost, "/letter-now", object{"site_id": x.site}).status)
	letters := box.taken()
	require.Len(t, letters, 1)
	_, subject, _, _ := openLetter(t, letters[0])
	require.Equal(t, "Week 38 at Fern site", subject)
	require.Zero(t, sql[int](t, r, `select count(*)::int from letter_sent`), "the one of Monday comes all the same")

	requireRefused(t, c.do(http.MethodPost, "/letter-now", object{"site_id": x.site, "section_id": x.house}), http.StatusUnprocessableEntity, "invalid", "/section_id")
	box.fill(true)
	requireRefused(t, c.do(http.MethodPost, "/letter-now", object{"site_id": x.site}), http.StatusServiceUnavailable, "mail_server")
	requireRefused(t, c.do(http.MethodPost, "/letter-now", object{"site_id": x.site}), http.StatusTooManyRequests, "too_often")
}

func TestALetterIsOnesOwn(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	g := newGrounds(c, "Fern")
	id := c.new("letters", object{"site_id": g.site, "section_id": g.section})
	other := r.signedIn(t, r.person(t, owner, "Other", store.SiteRole{Role: store.Owner}))
	require.Empty(t, other.items("/letters"))
	require.Equal(t, http.StatusNotFound, other.do(http.MethodGet, "/letters/"+id, nil).status)
	stop := object{"site_id": g.site, "section_id": g.section, "stopped": true}
	require.Equal(t, http.StatusNotFound, other.do(http.MethodPut, "/letters/"+id, stop, "If-Match", "1").status)
	require.Len(t, c.items("/letters"), 1)
	elsewhere := c.new("sites", object{"name": "Elsewhere", "time_zone": "UTC"})
	requireRefused(t, c.do(http.MethodPut, "/letters/"+newID(t), object{"site_id": elsewhere, "section_id": g.section}),
		http.StatusUnprocessableEntity, "invalid", "/section_id")
}

func serving(t *testing.T, handler http.Handler) string {
	t.Helper()
	server := httptest.NewServer(handler)
	t.Cleanup(server.Close)
	return server.URL
}
