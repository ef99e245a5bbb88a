package api

import (
	"encoding/json"
	"net/http"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
)

// SendOutbox implements POST /outbox: every record is a PUT of its own, in the
// order given, and one that is refused does not keep back the others.
func (s *server) SendOutbox(c echo.Context) error {
	raw, err := readBody(c, mostOutbox)
	if err != nil {
		return err
	}
	box, err := decode[wire.Outbox](s.contract, raw)
	if err != nil {
		return err
	}
	writers := map[wire.OutboxRecordNoun]writer{
		"shipments": s.shipments(), "lots": s.lots(), "inspections": s.inspections(), "verdicts": s.verdicts(),
		"movements": s.movementsThatHappened(), "looks": s.looks(), "holds": s.holds(),
	}
	ctx, a := c.Request().Context(), actorOf(c)
	out := wire.OutboxAnswers{Answers: make([]wire.OutboxAnswer, 0, len(box.Records))}
	for _, r := range box.Records {
		content, err := json.Marshal(r.Body)
		var done answer
		switch w := writers[r.Noun]; {
		case err != nil:
		case !w.may(a):
			err = errForbidden
		default:
			done, err = w.put(ctx, a, r.ID, r.IfMatch, content)
		}
		if ctx.Err() != nil {
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
