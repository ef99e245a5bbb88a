package api

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestSumsOfAnySizeAnswerAtOnce(t *testing.T) {
	t.Parallel()
	c := run(t).stranger(t)
	for _, path := range []string{
		"/sums/sample-size?lot_size=1000000000&detection_percent=5&confidence_percent=95",
		"/sums/sample-size?lot_size=1000000000&detection_percent=0.0000001&confidence_percent=99.999999",
		"/sums/sample-size?lot_size=1000000000&detection_percent=0.00001&confidence_percent=99&sensitivity_percent=1.5",
		"/sums/sample-size?lot_size=999999937&detection_percent=50&confidence_percent=0.000001&sensitivity_percent=33.3",
		"/sums/sample-size?lot_size=1000000000&detection_percent=100&confidence_percent=95&sensitivity_percent=1",
		"/sums/proportion?examined=1000000000&infested=500000000&confidence_percent=99.9999&method=clopper-pearson",
		"/sums/proportion?examined=1000000000&infested=1&method=clopper-pearson",
		"/sums/proportion?examined=1000000000&infested=0",
		"/sums/difference?examined_a=1000000000&infested_a=1&examined_b=1000000000&infested_b=999999999",
		"/sums/stop-lines?acceptable_percent=0.01&action_percent=0.011&alpha=0.000001&beta=0.000001&maximum=2000",
	} {
		begin := time.Now()
		answer := c.do(http.MethodGet, path, nil)
		took := time.Since(begin)
		require.Equal(t, http.StatusOK, answer.status, "%s: %s", path, answer.text)
		require.Less(t, took, 3*time.Second, "%s: seconds are for a machine at its limit", path)
		o := answer.object(t)
		require.NotEmpty(t, o["method"])
		require.NotEmpty(t, o["source"])
	}
}

func TestSumsNameWhatTheyCannotAnswer(t *testing.T) {
	t.Parallel()
	c := run(t).stranger(t)
	// Half a percent of 100 plants is no plant (ISPM 31 rounds down): there is no such sample.
	none := c.get("/sums/sample-size?lot_size=100&detection_percent=0.5&confidence_percent=95")
	require.Nil(t, none["plants"])
	require.NotEmpty(t, none["reason"])
	zero := c.get("/sums/proportion?examined=60&infested=0")
	// 1 − 0.05^(1/60), the exact one-sided limit: "fewer than 5 %", never "clean".
	require.InDelta(t, 4.87, zero["rules_out_percent"], 0.005)
	require.Positive(t, zero["upper_percent"])
}

func TestSumsAgreeWithPublishedExamples(t *testing.T) {
	t.Parallel()
	c := run(t).stranger(t)
	// Newcombe RG (1998), Stat. Med. 17:873-890, table II, contrast a, method 10.
	d := c.get("/sums/difference?examined_a=70&infested_a=56&examined_b=80&infested_b=48")
	require.InDelta(t, 5.24, d["lower_percent"], 0.005)
	require.InDelta(t, 33.39, d["upper_percent"], 0.005)
	// NIST/SEMATECH e-Handbook of Statistical Methods, section 6.2.6 (figures from memory).
	l := c.get("/sums/stop-lines?acceptable_percent=1&action_percent=10&alpha=0.05&beta=0.10&maximum=60")
	require.InDelta(t, 0.0397, l["slope"], 0.00005)
	require.InDelta(t, -0.939, l["below_intercept"], 0.0005)
	require.InDelta(t, 1.205, l["above_intercept"], 0.0005)
	lines := objects(t, l["lines"])
	require.Nil(t, lines[22]["below_if_at_most"], "nobody stops below before 24")
	require.InDelta(t, 0, lines[23]["below_if_at_most"], 0)
	require.InDelta(t, 3, lines[23]["above_if_at_least"], 0)
	// Zalom FG et al. (1983), University of California Leaflet 21373, table 7: 50 and 82 °F between 55 and 90.
	dd := c.get("/sums/degree-days?minimum=50&maximum=82&lower=55&upper=90&unit=F")
	require.InDelta(t, 11.85, dd["degree_days"], 0.005)
	require.Equal(t, "F", dd["unit"])
	// Brown LD, Cai TT, DasGupta A (2001), Stat. Sci. 16:101-133: Jeffreys' interval stands inside Clopper and Pearson's.
	jeffreys := c.get("/sums/proportion?examined=20&infested=4&method=jeffreys")
	exact := c.get("/sums/proportion?examined=20&infested=4&method=clopper-pearson")
	require.Greater(t, jeffreys["lower_percent"], exact["lower_percent"])
	require.Less(t, jeffreys["upper_percent"], exact["upper_percent"])
}

func TestSumsPointAtTheParameterThatIsWrong(t *testing.T) {
	t.Parallel()
	c := run(t).stranger(t)
	for address, pointer := range map[string]string{
		"/sums/difference?examined_a=10&infested_a=11&examined_b=10&infested_b=1":                    "#query/infested_a",
		"/sums/difference?examined_a=10&infested_a=1&examined_b=10&infested_b=11":                    "#query/infested_b",
		"/sums/stop-lines?acceptable_percent=20&action_percent=10&alpha=0.1&beta=0.1&maximum=60":     "#query/action_percent",
		"/sums/degree-days?minimum=20&maximum=10&lower=5":                                            "#query/maximum",
		"/sums/degree-days?minimum=10&maximum=20&lower=30&upper=25":                                  "#query/upper",
		"/sums/degree-days?minimum=10&maximum=20&lower=5&upper=25&method=average":                    "#query/upper",
		"/sums/stop-lines?acceptable_percent=10&action_percent=20&alpha=0.1&beta=0.1&maximum=100000": "#query/maximum",
		"/sums/proportion?examined=10&infested=11&method=jeffreys":                                   "#query/infested",
	} {
		requireRefused(t, c.do(http.MethodGet, address, nil), http.StatusUnprocessableEntity, "invalid", pointer)
	}
}

func TestSixHundredSumsPassAndAFloodIsTurnedAway(t *testing.T) {
	t.Parallel()
	r := run(t)
	ask := func(address, forwarded string) *httptest.ResponseRecorder {
		request := httptest.NewRequestWithContext(t.Context(), http.MethodGet, base+"/sums/proportion?examined=18&infested=4", nil)
		request.RemoteAddr = address
		request.Header.Set("X-Forwarded-For", forwarded)
		answer := httptest.NewRecorder()
		r.handler.ServeHTTP(answer, request)
		return answer
	}
	for i := range 600 {
		require.Equal(t, http.StatusOK, ask("192.0.2.7:4711", "").Code, "sum %d of a minute", i+1)
	}
	var refused *httptest.ResponseRecorder
	require.Eventually(t, func() bool {
		for range 100 {
			// Another name in a header is no other address.
			if refused = ask("192.0.2.7:4712", "198.51.100.1"); refused.Code != http.StatusOK {
				return true
			}
		}
		return false
	}, 30*time.Second, time.Millisecond)
	out := outcome{refused.Code, refused.Header(), refused.Body.String()}
	requireRefused(t, out, http.StatusTooManyRequests, "too_often")
	require.NotEmpty(t, refused.Header().Get("Retry-After"))
	require.Equal(t, http.StatusOK, ask("192.0.2.8:4711", "").Code, "others are not kept waiting")
}

func TestSignInIsBoundedToo(t *testing.T) {
	t.Parallel()
	r := run(t)
	r.organisation(t, "Fernhollow")
	c := r.stranger(t)
	last := 0
	for range 400 {
		last = c.do(http.MethodPost, "/session", object{"email": "owner@fernhollow.test", "password": "wrong"}).status
		if last == http.StatusTooManyRequests {
			break
		}
	}
	require.Equal(t, http.StatusTooManyRequests, last)
}
