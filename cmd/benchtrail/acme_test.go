package main

import (
	"crypto/tls"
	"crypto/x509"
	"encoding/base64"
	"encoding/json"
	"encoding/pem"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// acmeServer gives certificates by RFC 8555 to whoever answers one kind of
// question. It trusts every signature: those are the library's affair.
type acmeServer struct {
	*httptest.Server
	t         *testing.T
	authority *authority
	kind      string                  // of the question
	holds     func(name string) error // asks it
	mu        sync.Mutex
	name      string
	proven    bool
	chain     []byte
	given     int
}

const acmeToken = "a-token"

func newACMEServer(t *testing.T, kind string, holds func(name string) error) *acmeServer {
	t.Helper()
	s := &acmeServer{t: t, authority: newAuthority(t), kind: kind, holds: holds}
	mux := http.NewServeMux()
	for path, answer := range map[string]func(payload []byte) (int, any){
		"/directory": s.directory, "/nonce": s.nothing, "/account": s.account, "/order": s.newOrder, "/orders/1": s.order,
		"/authz/1": s.authz, "/challenge/1": s.challenge, "/finalize/1": s.finalize,
	} {
		mux.HandleFunc(path, func(w http.ResponseWriter, r *http.Request) {
			var sent struct{ Payload string }
			_ = json.NewDecoder(r.Body).Decode(&sent) // a GET has none
			payload, _ := base64.RawURLEncoding.DecodeString(sent.Payload)
			s.mu.Lock()
			defer s.mu.Unlock()
			status, body := answer(payload)
			w.Header().Set("Replay-Nonce", "once")
			if status == http.StatusCreated {
				w.Header().Set("Location", s.URL+map[string]string{"/account": "/account/1", "/order": "/orders/1"}[path])
			}
			w.WriteHeader(status)
			_ = json.NewEncoder(w).Encode(body)
		})
	}
	mux.HandleFunc("/certificate/1", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Replay-Nonce", "once")
		_, _ = w.Write(s.chain)
	})
	s.Server = httptest.NewTLSServer(mux)
	t.Cleanup(s.Close)
	return s
}

func (s *acmeServer) directory([]byte) (int, any) {
	return http.StatusOK, map[string]string{"newNonce": s.URL + "/nonce", "newAccount": s.URL + "/account", "newOrder": s.URL + "/order"}
}

func (s *acmeServer) nothing([]byte) (int, any) { return http.StatusOK, nil }

func (s *acmeServer) account([]byte) (int, any) {
	return http.StatusCreated, map[string]string{"status": "valid"}
}

func (s *acmeServer) newOrder(payload []byte) (int, any) {
	var asked struct{ Identifiers []struct{ Value string } }
	if err := json.Unmarshal(payload, &asked); err != nil || len(asked.Identifiers) != 1 {
		return http.StatusBadRequest, nil
	}
	s.name, s.proven, s.chain = asked.Identifiers[0].Value, false, nil
	_, body := s.order(nil)
	return http.StatusCreated, body
}

func (s *acmeServer) order([]byte) (int, any) {
	body := map[string]any{"status": "pending", "authorizations": []string{s.URL + "/authz/1"}, "finalize": s.URL + "/finalize/1"}
	if s.proven {
		body["status"] = "ready"
	}
	if s.chain != nil {
		body["status"], body["certificate"] = "valid", s.URL+"/certificate/1"
	}
	return http.StatusOK, body
}

func (s *acmeServer) authz([]byte) (int, any) {
	status := "pending"
	if s.proven {
		status = "valid"
	}
	return http.StatusOK, map[string]any{
		"status": status, "identifier": map[string]string{"type": "dns", "value": s.name}, "challenges": []any{s.question(status)},
	}
}

func (s *acmeServer) question(status string) map[string]string {
	return map[string]string{"type": s.kind, "url": s.URL + "/challenge/1", "token": acmeToken, "status": status}
}

func (s *acmeServer) challenge([]byte) (int, any) {
	if err := s.holds(s.name); err != nil {
		s.t.Log("the ACME server is not convinced:", err)
		return http.StatusForbidden, map[string]string{"type": "urn:ietf:params:acme:error:unauthorized"}
	}
	s.proven = true
	return http.StatusOK, s.question("valid")
}

func (s *acmeServer) finalize(payload []byte) (int, any) {
	var sent struct{ CSR string }
	if err := json.Unmarshal(payload, &sent); err != nil || !s.proven {
		return http.StatusForbidden, nil
	}
	der, err := base64.RawURLEncoding.DecodeString(sent.CSR)
	if err != nil {
		return http.StatusBadRequest, nil
	}
	request, err := x509.ParseCertificateRequest(der)
	if err != nil {
		return http.StatusBadRequest, nil
	}
	s.given++
	s.chain = s.authority.signs(s.t, request.PublicKey, inThreeMonths(), request.DNSNames...)
	s.chain = append(s.chain, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: s.authority.certificate.Raw})...)
	return s.order(nil)
}

// acmeIdentifier marks a certificate that answers a question (RFC 8737).
var acmeIdentifier = []int{1, 3, 6, 1, 5, 5, 7, 1, 31}

// answersByTLS asks the way RFC 8737 says.
func answersByTLS(t *testing.T, address, name string) error {
	t.Helper()
	dialer := tls.Dialer{Config: &tls.Config{ServerName: name, NextProtos: []string{"acme-tls/1"}, InsecureSkipVerify: true}}
	conn, err := dialer.DialContext(t.Context(), "tcp", address)
	if err != nil {
		return err
	}
	defer conn.Close()
	state := conn.(*tls.Conn).ConnectionState()
	for _, extension := range state.PeerCertificates[0].Extensions {
		if slices.Equal(extension.Id, acmeIdentifier) && state.NegotiatedProtocol == "acme-tls/1" {
			return nil
		}
	}
	return errors.New("the certificate is no answer")
}

// answersByHTTP asks the way RFC 8555, 8.3 says, and names the port, as some do.
func answersByHTTP(t *testing.T, address, name string) error {
	t.Helper()
	request, err := http.NewRequestWithContext(t.Context(), http.MethodGet, "http://"+name+":80/.well-known/acme-challenge/"+acmeToken, nil)
	if err != nil {
		return err
	}
	response, err := guest(t, nil, address).Do(request)
	if err != nil {
		return err
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil || response.StatusCode != http.StatusOK || !strings.HasPrefix(string(text), acmeToken+".") {
		return fmt.Errorf("%d %s: %w", response.StatusCode, text, err)
	}
	return nil
}

func TestACertificateComesFromAnACMEServerAndIsKept(t *testing.T) {
	t.Parallel()
	for _, kind := range []string{"tls-alpn-01", "http-01"} {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			reachable := make(chan struct{})
			var address, plain string
			server := newACMEServer(t, kind, func(name string) error {
				<-reachable
				if kind == "http-01" {
					return answersByHTTP(t, plain, name)
				}
				return answersByTLS(t, address, name)
			})
			c := httpsConfig{Names: []string{"trail.test"}, Directory: server.URL + "/directory", Redirect: "127.0.0.1:0"}
			data := newFolder(t)
			h, log := openACME(t, c, data, server)
			address = startAnswering(t, h, log)
			plain = regexpLeading.FindStringSubmatch(log.String())[1]
			close(reachable)
			log.requireSays(t, "msg=certificate name=trail.test") // without anyone coming

			visitor := guest(t, server.authority.pool(), address)
			response, text := requireAnswer(t, visitor, http.MethodGet, "https://trail.test/")
			require.Equal(t, "here", text)
			require.Equal(t, 2, response.ProtoMajor)
			require.Equal(t, "max-age=604800", response.Header.Get("Strict-Transport-Security"))
			for _, other := range []string{"other.test", "127.0.0.1"} {
				_, err := visitor.Get("https://" + other + "/") //nolint:noctx // the client has a timeout of its own
				require.Error(t, err, other)
			}

			again, log := openACME(t, c, data, server)
			startAnswering(t, again, log)
			log.requireSays(t, "msg=certificate name=trail.test")
			require.Equal(t, 1, server.given, "the second program took the certificate that was kept")
			requirePrivate(t, filepath.Join(data, "acme"))
		})
	}
}

func openACME(t *testing.T, c httpsConfig, data string, server *acmeServer) (*https, *said) {
	t.Helper()
	log := &said{}
	h, err := openHTTPS(c, data, httpsLogger(log), time.Now)
	require.NoError(t, err)
	h.manager.Client.HTTPClient = server.Client()
	return h, log
}

func requirePrivate(t *testing.T, folder string) {
	t.Helper()
	files := 0
	require.NoError(t, filepath.WalkDir(folder, func(path string, entry os.DirEntry, err error) error {
		require.NoError(t, err)
		info, err := entry.Info()
		require.NoError(t, err)
		require.Zero(t, info.Mode().Perm()&0o077, path)
		if !entry.IsDir() {
			files++
		}
		return nil
	}))
	require.Equal(t, 2, files, "the account and the certificate")
}

func TestACertificateThatCannotBeHadIsSaid(t *testing.T) {
	t.Parallel()
	server := newACMEServer(t, "http-01", nil) // and there is no listener for http
	h, log := openACME(t, httpsConfig{Names: []string{"trail.test"}, Directory: server.URL + "/directory"}, newFolder(t), server)
	startAnswering(t, h, log)
	require.Contains(t, log.requireSays(t, "no certificate"), "no viable challenge type")
}

func TestNamesThatAreNotOursAreNotAskedFor(t *testing.T) {
	t.Parallel()
	asked := false
	server := newACMEServer(t, "http-01", func(string) error { asked = true; return nil })
	h, _ := openACME(t, httpsConfig{Names: []string{"trail.test"}, Directory: server.URL + "/directory"}, newFolder(t), server)
	_, err := h.config().GetCertificate(&tls.ClientHelloInfo{ServerName: "other.test"})
	require.ErrorContains(t, err, "not configured")
	require.False(t, asked)
	response := recorded(h.fromHTTP("443"), http.MethodGet, "http://other.test/.well-known/acme-challenge/"+acmeToken)
	require.Equal(t, http.StatusForbidden, response.StatusCode)
}
