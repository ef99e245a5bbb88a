// Package api speaks HTTP. A request travels from here (decode, call, encode)
// to api/store (one method, one transaction) to the database, and back.
// openapi.yaml beside this file is the contract; internal/wire is made from it.
package api

import (
	"compress/gzip"
	"io"
	"log/slog"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
)

// Deps is what the API works with.
type Deps struct {
	Store   *store.Store
	Clock   func() time.Time
	Entropy io.Reader // for secrets
	Log     *slog.Logger
	Version string
	Demo    bool
	Pages   http.Handler // the pages, for everything that is not the API
	Mail    Mail
}

type server struct {
	Deps
	contract   *contract
	passwords  chan struct{} // a place for each password that may be hashed at a time
	pictures   chan struct{} // the same for pictures that may be read
	imports    chan struct{} // the same for files of looks
	fromSums   *middleware.RateLimiterMemoryStore
	fromSignIn *middleware.RateLimiterMemoryStore
	// of letters that somebody asks for at once
	fromLetters *middleware.RateLimiterMemoryStore
	letters     post // nil where none can be sent
	wrong       failures
}

const base = "/api/v1"

// smallestPacked is the size, in bytes, from which an answer is worth compressing:
// below it goes in one packet anyway.
const smallestPacked = 1400

// longestRequest is when a request is given up; whoever asked may try again.
const longestRequest = 30 * time.Second

// New makes the handler of everything that Benchtrail answers.
func New(d Deps) (http.Handler, error) {
	ct, err := loadContract(base)
	if err != nil {
		return nil, err
	}
	limiter := middleware.NewRateLimiterMemoryStoreWithConfig
	s := &server{
		Deps: d, contract: ct, passwords: make(chan struct{}, 2), pictures: make(chan struct{}, atOnce), imports: make(chan struct{}, 1),
		fromSums:    limiter(middleware.RateLimiterMemoryStoreConfig{Rate: 20, Burst: 600, ExpiresIn: 3 * time.Minute}),
		fromLetters: limiter(middleware.RateLimiterMemoryStoreConfig{Rate: 0.02, Burst: 3, ExpiresIn: 10 * time.Minute}),
		letters:     postOf(d.Mail),
		fromSignIn:  limiter(middleware.RateLimiterMemoryStoreConfig{Rate: 2, Burst: 60, ExpiresIn: 3 * time.Minute}),
	}
	e := echo.New()
	e.HideBanner, e.HidePort = true, true
	e.HTTPErrorHandler = s.handleError
	e.IPExtractor = echo.ExtractIPDirect()
	e.Use(
		middleware.RequestID(),
		s.logRequests(),
		middleware.RecoverWithConfig(middleware.RecoverConfig{LogErrorFunc: func(c echo.Context, err error, stack []byte) error {
			s.Log.ErrorContext(c.Request().Context(), "panic", "error", err, "stack", string(stack))
			return err
		}}),
		middleware.ContextTimeoutWithConfig(middleware.ContextTimeoutConfig{
			Skipper: isImport, Timeout: longestRequest, ErrorHandler: func(err error, _ echo.Context) error { return err },
		}),
		securityHeaders,
		refuseOtherOrigins(),
	)
	e.GET("/healthz", s.health)
	e.GET("/readyz", s.ready)
	packed := middleware.GzipWithConfig(middleware.GzipConfig{Level: gzip.BestSpeed, MinLength: smallestPacked, Skipper: isPicture})
	group := e.Group(base, packed, noStore, s.limitSums, s.signedIn, s.checkAddress)
	group.GET("/openapi.yaml", func(c echo.Context) error { return c.Blob(http.StatusOK, "application/yaml", contractYAML) })
	wire.RegisterHandlers(group, s)
	e.RouteNotFound(base+"/*", func(echo.Context) error { return echo.NewHTTPError(http.StatusNotFound) })
	if d.Pages != nil {
		e.Match([]string{http.MethodGet, http.MethodHead}, "/*", echo.WrapHandler(d.Pages))
	}
	return e, nil
}

func (s *server) health(c echo.Context) error {
	return c.JSON(http.StatusOK, wire.Health{Status: "ok", Version: s.Version})
}

func (s *server) ready(c echo.Context) error {
	if err := s.Store.Ping(c.Request().Context()); err != nil {
		s.Log.WarnContext(c.Request().Context(), "the database does not answer", "error", err)
		return refusal{http.StatusServiceUnavailable, "no_database", "The database does not answer."}
	}
	return s.health(c)
}
