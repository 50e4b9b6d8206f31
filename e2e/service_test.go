package e2e_test

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/moby/moby/api/types/container"
	"github.com/testcontainers/testcontainers-go"
	"github.com/testcontainers/testcontainers-go/wait"
)

const servicePort = "8080/tcp"

// service is a running container and how to reach it.
type service struct {
	testcontainers.Container
	url    string
	client *http.Client
}

// startService runs the image as an operator should: nothing writable, no
// capabilities, little memory.
func startService(t *testing.T, options ...testcontainers.ContainerCustomizer) *service {
	t.Helper()
	image := needImage(t)
	options = append([]testcontainers.ContainerCustomizer{
		testcontainers.WithExposedPorts(servicePort),
		testcontainers.WithHostConfigModifier(confine),
		testcontainers.WithWaitStrategy(wait.ForHTTP("/readyz").WithPort(servicePort).WithPollInterval(10 * time.Millisecond)),
	}, options...)
	c, err := testcontainers.Run(t.Context(), image.name, options...)
	testcontainers.CleanupContainer(t, c)
	if err != nil {
		t.Fatalf("the service does not start: %v", err)
	}
	url, err := c.PortEndpoint(t.Context(), servicePort, "http")
	if err != nil {
		t.Fatal(err)
	}
	// Go would ask for gzip and unpack it unseen; these tests see what is sent.
	transport := &http.Transport{DisableCompression: true}
	t.Cleanup(transport.CloseIdleConnections)
	return &service{c, url, &http.Client{Transport: transport, Timeout: time.Minute}}
}

func confine(host *container.HostConfig) {
	host.ReadonlyRootfs = true
	host.CapDrop = []string{"ALL"}
	host.SecurityOpt = []string{"no-new-privileges"}
	host.Memory = 256 << 20
	host.MemorySwap = host.Memory // none on top
}

// runOnce runs the image's command on files to its end and gives what it
// printed.
func runOnce(t *testing.T, files []testcontainers.ContainerFile, args ...string) string {
	t.Helper()
	image := needImage(t)
	c, err := testcontainers.Run(t.Context(), image.name,
		testcontainers.WithCmd(args...),
		testcontainers.WithFiles(files...),
		testcontainers.WithWaitStrategy(wait.ForExit()))
	testcontainers.CleanupContainer(t, c)
	if err != nil {
		t.Fatalf("recirc %s: %v", strings.Join(args, " "), err)
	}
	state, err := c.State(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	out := logsOf(t, c)
	if state.ExitCode != 0 {
		t.Fatalf("recirc %s exits with %d: %s", strings.Join(args, " "), state.ExitCode, out)
	}
	return out
}

func logsOf(t *testing.T, c testcontainers.Container) string {
	t.Helper()
	logs, err := c.Logs(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = logs.Close() }()
	text, err := io.ReadAll(logs)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// response is an answer, read whole.
type response struct {
	status int
	header http.Header
	body   []byte
}

func (s *service) get(t *testing.T, path string) response {
	t.Helper()
	return s.do(t, http.MethodGet, path, nil, nil)
}

func (s *service) post(t *testing.T, path string, body []byte) response {
	t.Helper()
	return s.do(t, http.MethodPost, path, body, http.Header{"Content-Type": {"application/json"}})
}

func (s *service) do(t *testing.T, method, path string, body []byte, header http.Header) response {
	t.Helper()
	got, err := s.try(t.Context(), method, path, body, header)
	if err != nil {
		t.Fatalf("%s %s: %v", method, path, err)
	}
	return got
}

// try is do for goroutines, and for a service that may be gone.
func (s *service) try(ctx context.Context, method, path string, body []byte, header http.Header) (response, error) {
	request, err := http.NewRequestWithContext(ctx, method, s.url+path, bytes.NewReader(body))
	if err != nil {
		return response{}, err
	}
	for name, values := range header {
		request.Header[name] = values
	}
	got, err := s.client.Do(request)
	if err != nil {
		return response{}, err
	}
	defer func() { _ = got.Body.Close() }()
	text, err := io.ReadAll(got.Body)
	return response{got.StatusCode, got.Header, text}, err
}

// ready asks the readiness probe; no answer is a no.
func (s *service) ready(t *testing.T) bool {
	t.Helper()
	got, err := s.try(t.Context(), http.MethodGet, "/readyz", nil, nil)
	return err == nil && got.status == http.StatusOK
}

// within polls until done says so, and fails the test if it never does.
func within(t *testing.T, limit time.Duration, what string, done func() bool) {
	t.Helper()
	for deadline := time.Now().Add(limit); !done(); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("not within %v: %s", limit, what)
		}
	}
}
