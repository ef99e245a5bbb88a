package api

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"runtime/debug"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain/scouting"
)

// phoneSaid is what a phone said of how a record was made and sent, as it is kept
// with the revision.
type phoneSaid struct {
	Made   wire.Made `json:"made,omitzero"`
	SentAt time.Time `json:"sent_at,omitzero"`
}

// kept gives what is stored of it: nothing where nothing was said.
func (p phoneSaid) kept() ([]byte, error) {
	if p == (phoneSaid{}) {
		return nil, nil
	}
	return json.Marshal(p)
}

// SendOutbox implements POST /outbox: every record is a PUT of its own, in the
// order given, and one that is refused or fails does not keep back the others.
func (s *server) SendOutbox(c echo.Context) error {
	began := s.Clock() // a large box may take minutes to come in over a slow network
	raw, err := readBody(c, mostOutbox)
	if err != nil {
		return err
	}
	box, err := s.openOutbox(raw)
	if err != nil {
		return err
	}
	writers := map[wire.OutboxRecordNoun]writer{
		"shipments": s.shipments(), "lots": s.lots(), "inspections": s.inspections(), "verdicts": s.verdicts(),
		"movements": s.movementsThatHappened(), "looks": s.looks(), "holds": s.holds(), "photos": s.photos(), "claims": s.claims(),
		"lab-samples": s.labSamples(), "suppliers": s.suppliers(), "farms": s.farms(), "customers": s.customers(),
	}
	ctx, a := c.Request().Context(), actorOf(c)
	out := wire.OutboxAnswers{Answers: make([]wire.OutboxAnswer, 0, len(box.Records))}
	for _, r := range box.Records {
		done, err := s.putRecord(ctx, a, writers[r.Noun], r, box.SentAt, began)
		if errors.Is(ctx.Err(), context.Canceled) {
			return ctx.Err()
		}
		one := wire.OutboxAnswer{ID: r.ID, Status: done.status, Version: done.version}
		if err != nil {
			one.Problem = problemOf(err)
			one.Status = one.Problem.Status
			if one.Status >= http.StatusInternalServerError {
				s.Log.ErrorContext(ctx, "a record of an outbox failed", "noun", r.Noun, "id", r.ID, "error", err)
			}
		}
		out.Answers = append(out.Answers, one)
	}
	return c.JSON(http.StatusOK, out)
}

// openOutbox holds an outbox against the contract without what is in the bodies:
// each is held by itself, so that what is wrong with one is said of that one.
func (s *server) openOutbox(raw []byte) (wire.Outbox, error) {
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		return wire.Outbox{}, notJSON(raw, err)
	}
	bodies := map[int]map[string]any{}
	envelope, _ := value.(map[string]any)
	records, _ := envelope["records"].([]any)
	for i, r := range records {
		record, _ := r.(map[string]any)
		if body, ok := record["body"].(map[string]any); ok {
			bodies[i], record["body"] = body, map[string]any{}
		}
	}
	box, err := decodeValue[wire.Outbox](s.contract, value)
	if err != nil {
		return box, err
	}
	for i := range box.Records {
		box.Records[i].Body = bodies[i]
	}
	return box, nil
}

// clockSet reports whether a phone's clock was set between making a record and
// sending it; without both readings nobody can tell.
func clockSet(m wire.Made, sentAt, now time.Time) bool {
	return m.ClockAheadMs != nil && !sentAt.IsZero() && scouting.ClockSet(int64(*m.ClockAheadMs), sentAt.UnixMilli()-now.UnixMilli())
}

// putRecord stores one record of an outbox. A panic stays with it: the others are
// of the same day's work and are no less good.
func (s *server) putRecord(ctx context.Context, a store.Actor, w writer, r wire.OutboxRecord, sentAt, now time.Time) (done answer, err error) {
	defer func() {
		if p := recover(); p != nil {
			s.Log.ErrorContext(ctx, "panic", "error", p, "stack", string(debug.Stack()))
			err = fmt.Errorf("panic: %v", p)
		}
	}()
	if !r.Made.PersonID.IsZero() && r.Made.PersonID != a.PersonID {
		return answer{}, errOtherPerson
	}
	if !w.may(a) {
		return answer{}, errForbidden
	}
	put := store.Put{ID: r.ID, Expected: r.IfMatch, ClockSet: clockSet(r.Made, sentAt, now)}
	if put.Phone, err = (phoneSaid{r.Made, sentAt}).kept(); err != nil {
		return answer{}, fmt.Errorf("write down what the phone said: %w", err)
	}
	content, err := json.Marshal(r.Body)
	if err != nil {
		return answer{}, fmt.Errorf("write the body down: %w", err)
	}
	return w.put(ctx, a, put, content)
}
