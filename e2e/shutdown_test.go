package e2e_test

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"testing"
	"time"

	"github.com/moby/moby/client"
)

// TestTerminationLetsARequestFinish stops the container while the half of a
// request is on its way.
func TestTerminationLetsARequestFinish(t *testing.T) {
	s := startService(t)
	want := s.post(t, "/v1/dead-legs", []byte(smallSystem))
	half := len(smallSystem) / 2
	connection, answers := s.beginRequest(t, "/v1/dead-legs", smallSystem, half)

	docker := needEngine(t).Client()
	if _, err := docker.ContainerKill(t.Context(), s.GetContainerID(), client.ContainerKillOptions{Signal: "SIGTERM"}); err != nil {
		t.Fatal(err)
	}
	within(t, 10*time.Second, "no longer ready after SIGTERM", func() bool { return !s.ready(t) })
	if !s.running(t) {
		t.Fatal("the container stopped with a request in flight")
	}

	if _, err := io.WriteString(connection, smallSystem[half:]); err != nil {
		t.Fatal(err)
	}
	got, err := http.ReadResponse(answers, nil)
	if err != nil {
		t.Fatalf("the request in flight is not answered: %v", err)
	}
	defer func() { _ = got.Body.Close() }()
	body, err := io.ReadAll(got.Body)
	if err != nil || got.StatusCode != http.StatusOK || !bytes.Equal(body, want.body) {
		t.Errorf("the request in flight gets %d, %v\n%s\nwant\n%s", got.StatusCode, err, body, want.body)
	}

	within(t, 20*time.Second, "the container ends", func() bool { return !s.running(t) })
	state, err := s.State(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if state.ExitCode != 0 {
		t.Errorf("the container exits with %d:\n%s", state.ExitCode, logsOf(t, s))
	}
}

// beginRequest sends the head and the first bytes of a request. It returns when
// the service asks for the body, so that the request is in flight for certain;
// that is what Expect is for here.
func (s *service) beginRequest(t *testing.T, path, body string, first int) (net.Conn, *bufio.Reader) {
	t.Helper()
	u, err := url.Parse(s.url)
	if err != nil {
		t.Fatal(err)
	}
	connection, err := new(net.Dialer).DialContext(t.Context(), "tcp", u.Host)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = connection.Close() })
	if err := connection.SetDeadline(time.Now().Add(time.Minute)); err != nil {
		t.Fatal(err)
	}
	_, err = fmt.Fprintf(connection, "POST %s HTTP/1.1\r\nHost: %s\r\nContent-Type: application/json\r\nContent-Length: %d\r\nExpect: 100-continue\r\n\r\n",
		path, u.Host, len(body))
	if err != nil {
		t.Fatal(err)
	}
	answers := bufio.NewReader(connection)
	interim, err := http.ReadResponse(answers, nil)
	if err != nil || interim.StatusCode != http.StatusContinue {
		t.Fatalf("the service does not ask for the body: %v, %+v", err, interim)
	}
	if _, err := io.WriteString(connection, body[:first]); err != nil {
		t.Fatal(err)
	}
	return connection, answers
}

func (s *service) running(t *testing.T) bool {
	t.Helper()
	state, err := s.State(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return state.Running
}
