package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"slices"
	"strings"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/picture"
	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
)

// A refusal is a problem that the HTTP side itself finds.
type refusal struct {
	status int
	code   string
	detail string
}

func (r refusal) Error() string { return r.code + ": " + r.detail }

var (
	errSignIn      = refusal{http.StatusUnauthorized, "sign_in", "Sign in first."}
	errPassword    = refusal{http.StatusUnauthorized, "wrong_password", "The e-mail address or the password is wrong."}
	errForbidden   = refusal{http.StatusForbidden, "forbidden", "Your role here does not allow this."}
	errOtherPerson = refusal{http.StatusForbidden, "other_person", "Somebody else made this record; it is taken from them only."}
	errTooOften    = refusal{http.StatusTooManyRequests, "too_often", "Too many requests; wait a little."}
	errPictureType = refusal{http.StatusUnsupportedMediaType, "not_picture_type", "A picture must be image/jpeg, image/png or image/webp."}
	// errCalendar is the one answer for an address that shows no calendar, whatever is wrong with it.
	errCalendar   = refusal{http.StatusNotFound, "not_found", "This address shows no calendar, or none any more."}
	errNoMail     = refusal{http.StatusConflict, "no_mail", "No mail server is set up here."}
	errMailServer = refusal{http.StatusServiceUnavailable, "mail_server", "The mail server did not take the letter; try again later."}
	errIfMatch    = refusal{http.StatusBadRequest, "bad_if_match", "If-Match must be one version, as given by ETag."}
)

// problemOf is the one table from errors to what leaves the house (RFC 9457).
func problemOf(err error) wire.Problem {
	var (
		refused refusal
		faults  domain.Faults
		broken  brokenJSON
		taken   store.Taken
		ended   store.Ended
		http4xx *echo.HTTPError
	)
	switch {
	case errors.As(err, &refused):
		return problem(refused.status, refused.code, refused.detail)
	case errors.As(err, &ended):
		return problem(http.StatusUnauthorized, "account_ended", "The last day of this account was "+ended.On.String()+". An owner can set a later one.")
	case errors.As(err, &broken):
		return problem(http.StatusBadRequest, "not_json", "The body is not JSON.", broken.fault)
	case errors.As(err, &faults):
		return problem(http.StatusUnprocessableEntity, "invalid", "Some values are wrong.", faults...)
	case errors.As(err, &taken):
		return problem(http.StatusConflict, taken.Fault.Code, "A value that must be unique is in use.", taken.Fault)
	case errors.Is(err, store.ErrConflict):
		return problem(http.StatusConflict, "conflict", "This id already holds something else. To correct it, send If-Match with its version.")
	case errors.Is(err, store.ErrPicture):
		return problem(http.StatusConflict, "conflict", "This photo has another picture already; make a new photo for this one.")
	case errors.Is(err, picture.ErrTooLarge):
		return problem(http.StatusUnprocessableEntity, "picture_too_large", fmt.Sprintf("The picture has more than %d megapixels.", picture.MostPixels/1_000_000))
	case errors.Is(err, picture.ErrUnreadable):
		return problem(http.StatusUnprocessableEntity, "picture_unreadable", "This is no picture that can be read, or only a part of one.")
	case errors.Is(err, store.ErrStale):
		return problem(http.StatusPreconditionFailed, "stale", "Somebody changed this since you read it.")
	case errors.Is(err, store.ErrNotFound):
		return problem(http.StatusNotFound, "not_found", "There is no such record, or none that you may see.")
	case errors.Is(err, store.ErrDenied):
		return problem(http.StatusForbidden, "forbidden", "Your role does not reach this site.")
	case errors.Is(err, store.ErrToken):
		return problem(http.StatusUnprocessableEntity, "invalid", "Some values are wrong.",
			domain.Fault{Path: "#query/after", Code: "wrong_form", Detail: "is not the next of a page of this list"})
	case errors.Is(err, context.DeadlineExceeded), isBusy(err):
		return problem(http.StatusServiceUnavailable, "busy", "The service cannot answer now; try again shortly.")
	case errors.As(err, &http4xx) && http4xx.Code < http.StatusInternalServerError:
		return problem(http4xx.Code, statusCodes[http4xx.Code], statusDetails[http4xx.Code])
	}
	return problem(http.StatusInternalServerError, "internal", "Something went wrong on our side. The request id helps to find it.")
}

// isBusy reports whether the same request may well succeed a little later: the
// database is starting, stopping, full or cut off, or two requests met (classes
// 08, 40, 53 and 57P of the PostgreSQL manual, appendix A).
func isBusy(err error) bool {
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		return slices.ContainsFunc([]string{"08", "40", "53", "57P"}, func(class string) bool { return strings.HasPrefix(pg.Code, class) })
	}
	var connect *pgconn.ConnectError
	var network *net.OpError
	return errors.As(err, &connect) || errors.As(err, &network) || errors.Is(err, io.ErrUnexpectedEOF)
}

var statusCodes = map[int]string{
	http.StatusBadRequest: "bad_request", http.StatusNotFound: "not_found", http.StatusMethodNotAllowed: "method_not_allowed",
	http.StatusRequestEntityTooLarge: "too_large", http.StatusUnsupportedMediaType: "not_json_type", http.StatusTooManyRequests: "too_often",
	http.StatusForbidden: "forbidden", http.StatusUnauthorized: "sign_in",
}

var statusDetails = map[int]string{
	http.StatusBadRequest:            "A part of the address or a header has the wrong form.",
	http.StatusNotFound:              "There is nothing at this address.",
	http.StatusMethodNotAllowed:      "This address does not take this method.",
	http.StatusRequestEntityTooLarge: "The body is too large: 1 MiB at most, 8 MiB for an outbox or a picture, 12 MiB for an import.",
	http.StatusUnsupportedMediaType:  "The body must be application/json.",
}

func problem(status int, code, detail string, faults ...domain.Fault) wire.Problem {
	p := wire.Problem{Type: "about:blank", Title: http.StatusText(status), Status: status, Code: code, Detail: detail}
	for _, f := range faults {
		p.Errors = append(p.Errors, wire.Fault{Pointer: f.Path, Code: f.Code, Detail: f.Detail})
	}
	return p
}

// handleError writes every error body there is, and logs what is ours.
func (s *server) handleError(err error, c echo.Context) {
	r := c.Request()
	if c.Response().Committed {
		return
	}
	if errors.Is(err, context.Canceled) && r.Context().Err() != nil {
		s.Log.DebugContext(r.Context(), "the caller has gone", "error", err)
		return
	}
	p := problemOf(err)
	if r.Method == http.MethodGet { // there is no body to point into
		for i, f := range p.Errors {
			if strings.HasPrefix(f.Pointer, "/") {
				p.Errors[i].Pointer = "#query" + f.Pointer
			}
		}
	}
	p.Instance = c.Response().Header().Get(echo.HeaderXRequestID)
	if p.Status >= http.StatusInternalServerError {
		s.Log.LogAttrs(r.Context(), slog.LevelError, "request failed", slog.String("request_id", p.Instance), slog.Any("error", err))
	}
	if p.Status == http.StatusServiceUnavailable || p.Status == http.StatusTooManyRequests {
		c.Response().Header().Set(echo.HeaderRetryAfter, "2")
	}
	text, err := json.Marshal(p)
	if err == nil {
		err = c.Blob(p.Status, "application/problem+json", text)
	}
	if err != nil {
		s.Log.DebugContext(r.Context(), "write the problem", "error", err)
	}
}
