package e2e_test

import (
	"context"
	"os"
	"sync"
	"testing"

	"github.com/moby/moby/client"
	"github.com/testcontainers/testcontainers-go"
)

const hostOverride = "TESTCONTAINERS_HOST_OVERRIDE"

func TestMain(m *testing.M) {
	// The reaper is an image of its own, which an engine without a registry
	// cannot have. The tests remove what they start themselves.
	if err := os.Setenv("TESTCONTAINERS_RYUK_DISABLED", "true"); err != nil {
		panic(err)
	}
	code := m.Run()
	removeBuiltImage()
	os.Exit(code)
}

// engine is the Docker engine, if one answers.
var engine = sync.OnceValues(func() (*testcontainers.DockerProvider, error) {
	provider, err := testcontainers.NewDockerProvider()
	if err != nil {
		return nil, err
	}
	return provider, reachHere(context.Background(), provider.Client())
})

// reachHere makes the tests look for an engine of this machine on this machine.
// Without it testcontainers takes a virtual machine made from a container image
// for a container, and looks for the engine's ports at the default gateway.
func reachHere(ctx context.Context, docker client.APIClient) error {
	info, err := docker.Info(ctx, client.InfoOptions{})
	if err != nil {
		return err
	}
	name, err := os.Hostname()
	if err != nil || name != info.Info.Name || os.Getenv(hostOverride) != "" {
		return nil
	}
	return os.Setenv(hostOverride, "127.0.0.1")
}

// needEngine gives the engine or ends the test.
func needEngine(t *testing.T) *testcontainers.DockerProvider {
	t.Helper()
	if testing.Short() {
		skip(t, "-short leaves out the tests that build an image and start containers")
	}
	provider, err := engine()
	if err != nil {
		skip(t, "no Docker engine answers: "+err.Error())
	}
	return provider
}

// skip leaves a test out, unless whoever runs the tests demands all of them.
func skip(t *testing.T, reason string) {
	t.Helper()
	if os.Getenv("RECIRC_E2E") == "required" {
		t.Fatal("RECIRC_E2E=required, but " + reason)
	}
	t.Skip(reason)
}
