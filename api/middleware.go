package api

import (
	"errors"
	"log/slog"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"benchtrail/api/store"
	"benchtrail/domain"
)

func (s *server) logRequests() echo.MiddlewareFunc {
	return middleware.RequestLoggerWithConfig(middleware.RequestLoggerConfig{
		LogMethod: true, LogRoutePath: true, LogStatus: true, LogLatency: true, LogRequestID: true, HandleError: true,
		LogValuesFunc: func(c echo.Context, v middleware.RequestLoggerValues) error {
			s.Log.LogAttrs(c.Request().Context(), slog.LevelInfo, "request",
				slog.String("method", v.Method), slog.String("route", v.RoutePath), slog.Int("status", v.Status),
				slog.Duration("took", v.Latency), slog.String("request_id", v.RequestID))
			return nil
		},
	})
}

func securityHeaders(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("X-Frame-Options", "DENY")
		return next(c)
	}
}

func noStore(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
		return next(c)
	}
}

// refuseOtherOrigins keeps another site's page from writing with our cookie.
func refuseOtherOrigins() echo.MiddlewareFunc {
	protection := http.NewCrossOriginProtection()
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			if err := protection.Check(c.Request()); err != nil {
				return refusal{http.StatusForbidden, "other_origin", "The request comes from another site's page."}
			}
			return next(c)
		}
	}
}

// Sums and calendars need no sign-in, so their number is bounded by the address they come from.
func (s *server) limitSums(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if strings.HasPrefix(c.Path(), base+"/sums/") || c.Path() == base+"/calendar" {
			if ok, err := s.fromSums.Allow(c.RealIP()); err != nil || !ok {
				return errTooOften
			}
		}
		return next(c)
	}
}

// open reports whether a route needs nobody to be signed in.
func open(c echo.Context) bool {
	path, method := c.Path(), c.Request().Method
	return strings.HasPrefix(path, base+"/sums/") || path == base+"/openapi.yaml" || path == base+"/calendar" ||
		path == base+"/session" && (method == http.MethodPost || method == http.MethodDelete)
}

const actorKey = "actor"

// actorOf gives the person signed in; every route that is not open has one.
func actorOf(c echo.Context) store.Actor {
	a, _ := c.Get(actorKey).(store.Actor)
	return a
}

func (s *server) signedIn(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if open(c) {
			return next(c)
		}
		ctx := c.Request().Context()
		var a store.Actor
		var err error
		if secret, ok := strings.CutPrefix(c.Request().Header.Get(echo.HeaderAuthorization), "Bearer "); ok {
			a, err = s.Store.ActorOfToken(ctx, secret)
		} else if cookie, cookieErr := c.Cookie(cookieName); cookieErr == nil {
			a, err = s.Store.ActorOfSession(ctx, cookie.Value)
		} else {
			return errSignIn
		}
		if errors.Is(err, store.ErrNotFound) {
			return errSignIn
		}
		if err != nil {
			return err
		}
		c.Set(actorKey, a)
		return next(c)
	}
}

func (s *server) checkAddress(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if len(c.ParamNames()) > 0 {
			if _, err := domain.ParseID(c.Param("id")); err != nil {
				return domain.Faults{{Path: "#path/id", Code: "wrong_form", Detail: "must be a UUID, and not all zeros"}}
			}
		}
		if err := s.contract.checkQuery(c.Request().Method+" "+c.Path(), c.QueryParams()); err != nil {
			return err
		}
		return next(c)
	}
}

// Who may write what. Looking at the rows is for row-level security to allow;
// these say which kind of work a role does.

func daily(a store.Actor) bool { return len(a.Roles) > 0 && !a.ReadsOnly() }

func limits(a store.Actor) bool { return a.Has(store.Grower) || a.Has(store.Owner) }

func setup(a store.Actor) bool { return a.Has(store.Owner) }

// whole is for what touches the whole organisation: its accounts.
func whole(a store.Actor) bool {
	for _, r := range a.Roles {
		if r.Role == store.Owner && r.SiteID.IsZero() {
			return true
		}
	}
	return false
}
