package api

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// signIn signs in over HTTP and keeps the cookie.
func (r *running) signIn(t *testing.T, email, password string) *caller {
	t.Helper()
	c := r.stranger(t)
	answer := c.do(http.MethodPost, "/session", object{"email": email, "password": password})
	require.Equal(t, http.StatusOK, answer.status, answer.text)
	cookie := cookieOf(t, answer)
	require.True(t, cookie.HttpOnly)
	c.cookie = cookie.Value
	return c
}

func cookieOf(t *testing.T, r outcome) *http.Cookie {
	t.Helper()
	cookie, err := http.ParseSetCookie(r.header.Get("Set-Cookie"))
	require.NoError(t, err)
	require.Equal(t, cookieName, cookie.Name)
	return cookie
}

func TestSignInAndOut(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signIn(t, " Owner@Fernhollow.test ", anyPassword)
	session := c.get("/session")
	require.Equal(t, owner.PersonID.String(), session["person"].(object)["id"])
	require.Equal(t, "Fernhollow", session["organisation"].(object)["name"])
	require.Equal(t, false, session["demo"])
	require.Equal(t, http.StatusNoContent, c.do(http.MethodDelete, "/session", nil).status)
	requireRefused(t, c.do(http.MethodGet, "/session", nil), http.StatusUnauthorized, "sign_in")
}

func TestAWrongPasswordAndAnUnknownAddressAreToldTheSame(t *testing.T) {
	t.Parallel()
	r := run(t)
	r.organisation(t, "Fernhollow")
	c := r.stranger(t)
	wrong := c.do(http.MethodPost, "/session", object{"email": "owner@fernhollow.test", "password": "not the password"})
	unknown := c.do(http.MethodPost, "/session", object{"email": "nobody@fernhollow.test", "password": anyPassword})
	requireRefused(t, wrong, http.StatusUnauthorized, "wrong_password")
	requireRefused(t, unknown, http.StatusUnauthorized, "wrong_password")
	require.Equal(t, with(wrong.object(t), object{"instance": nil}), with(unknown.object(t), object{"instance": nil}))
	require.Empty(t, wrong.header.Get("Set-Cookie"))
}

func TestTooManyWrongPasswordsKeepOutTheRightOneToo(t *testing.T) {
	t.Parallel()
	r := run(t)
	r.organisation(t, "Fernhollow")
	c := r.stranger(t)
	for range wrongAtOnce {
		wrong := c.do(http.MethodPost, "/session", object{"email": "owner@fernhollow.test", "password": "not the password"})
		requireRefused(t, wrong, http.StatusUnauthorized, "wrong_password")
	}
	right := c.do(http.MethodPost, "/session", object{"email": "owner@fernhollow.test", "password": anyPassword})
	requireRefused(t, right, http.StatusTooManyRequests, "too_often")
}

func TestTheCookieIsSecureExceptOnPlainLoopback(t *testing.T) {
	t.Parallel()
	r := run(t)
	r.organisation(t, "Fernhollow")
	in := object{"email": "owner@fernhollow.test", "password": anyPassword}
	require.False(t, cookieOf(t, r.stranger(t).do(http.MethodPost, "/session", in)).Secure)
	body := `{"email":"owner@fernhollow.test","password":"` + anyPassword + `"}`
	request, err := http.NewRequestWithContext(t.Context(), http.MethodPost, r.url+base+"/session", strings.NewReader(body))
	require.NoError(t, err)
	request.Host = "benchtrail.test"
	request.Header.Set("Content-Type", "application/json")
	response, err := http.DefaultClient.Do(request)
	require.NoError(t, err)
	require.NoError(t, response.Body.Close())
	require.Equal(t, http.StatusOK, response.StatusCode)
	cookie, err := http.ParseSetCookie(response.Header.Get("Set-Cookie"))
	require.NoError(t, err)
	require.True(t, cookie.Secure)
	require.Equal(t, http.SameSiteLaxMode, cookie.SameSite)
}

func TestASessionEndsByItselfAndWithTheAccount(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	person := c.new("accounts", object{
		"email": "second@fernhollow.test", "name": "Second", "password": anyPassword, "roles": []object{{"role": "owner"}},
	})
	second := r.signIn(t, "second@fernhollow.test", anyPassword)
	second.get("/sites")
	c.put("/accounts/"+person, object{
		"email": "second@fernhollow.test", "name": "Second", "roles": []object{{"role": "owner"}}, "disabled": true,
	}, "If-Match", "1")
	requireRefused(t, second.do(http.MethodGet, "/sites", nil), http.StatusUnauthorized, "sign_in")
	again := r.stranger(t).do(http.MethodPost, "/session", object{"email": "second@fernhollow.test", "password": anyPassword})
	requireRefused(t, again, http.StatusUnauthorized, "wrong_password")

	c.get("/sites")
	r.clock.Set(r.clock.Now().Add(sessionLasts + time.Minute))
	requireRefused(t, c.do(http.MethodGet, "/sites", nil), http.StatusUnauthorized, "sign_in")
}

func TestANewPasswordEndsTheSessionsOfTheOldOne(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.signedIn(t, r.organisation(t, "Fernhollow"))
	body := object{"email": "second@fernhollow.test", "name": "Second", "roles": []object{{"role": "owner"}}}
	person := c.new("accounts", with(body, object{"password": anyPassword}))
	second := r.signIn(t, "second@fernhollow.test", anyPassword)
	c.put("/accounts/"+person, with(body, object{"name": "The second"}), "If-Match", "1")
	second.get("/sites")
	c.put("/accounts/"+person, with(body, object{"password": "quite another one"}), "If-Match", "2")
	requireRefused(t, second.do(http.MethodGet, "/sites", nil), http.StatusUnauthorized, "sign_in")
	r.signIn(t, "second@fernhollow.test", "quite another one").get("/sites")
	// The same but for the password is no repeat.
	answer := c.do(http.MethodPut, "/accounts/"+person, with(body, object{"password": "and one more of them"}), "If-Match", "2")
	requireRefused(t, answer, http.StatusPreconditionFailed, "stale")
	c.get("/sites")
}

func TestATokenActsForItsMakerUntilItIsWithdrawn(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	made := c.do(http.MethodPut, "/tokens/01900000-0000-7000-8000-0000000000aa", object{"name": "climate computer"})
	require.Equal(t, http.StatusCreated, made.status, made.text)
	secret := made.object(t)["secret"].(string)
	require.Nil(t, c.get("/tokens/01900000-0000-7000-8000-0000000000aa")["secret"], "shown once only")
	require.NotContains(t, sql[string](t, r, `select jsonb_agg(to_jsonb(t))::text || (select jsonb_agg(content)::text from revision) from token t`), secret)

	program := r.stranger(t)
	program.token = secret
	program.new("suppliers", object{"name": "By a program"})
	c.put("/tokens/01900000-0000-7000-8000-0000000000aa", object{"name": "climate computer", "withdrawn": true}, "If-Match", "1")
	requireRefused(t, program.do(http.MethodGet, "/sites", nil), http.StatusUnauthorized, "sign_in")
}

func TestAPageOfAnotherSiteCannotWriteWithOurCookie(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	before := r.revisions(t)
	refused := c.do(http.MethodPut, "/suppliers/01900000-0000-7000-8000-0000000000aa", object{"name": "X"},
		"Origin", "https://elsewhere.test", "Sec-Fetch-Site", "cross-site")
	requireRefused(t, refused, http.StatusForbidden, "other_origin")
	require.Equal(t, before, r.revisions(t))
}

func TestAnOrganisationKeepsAnOwnerWhoCanSignIn(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	site := c.new("sites", object{"name": "North", "time_zone": "America/Chicago"})
	path := "/accounts/" + owner.PersonID.String()
	body := object{"email": "owner@fernhollow.test", "name": "Owner", "roles": []object{{"role": "owner"}}}
	for _, change := range []object{{"disabled": true}, {"roles": []object{{"role": "owner", "site_id": site}}}, {"ends_on": "2027-01-01"}} {
		requireRefused(t, c.do(http.MethodPut, path, with(body, change), "If-Match", "1"), http.StatusUnprocessableEntity, "invalid", "/roles")
	}
	c.put(path, with(body, object{"name": "Owner again"}), "If-Match", "1")
}
