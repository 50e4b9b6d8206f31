package e2e_test

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/moby/moby/client"
	"github.com/moby/patternmatcher"
	"github.com/moby/patternmatcher/ignorefile"
	"github.com/testcontainers/testcontainers-go"
)

const (
	builtVersion = "e2e-test" // the image says it is of this version
	stageMark    = "recirc.stage=build"
)

// builtImage is an image under test and how long its making took.
type builtImage struct {
	name string
	own  bool // built here, so to be removed here
	base string

	baseTook, contextTook, buildTook time.Duration
}

// theImage is made once for all tests.
var theImage = sync.OnceValues(func() (builtImage, error) {
	if name := os.Getenv("RECIRC_E2E_IMAGE"); name != "" {
		return builtImage{name: name}, nil
	}
	provider, err := engine()
	if err != nil {
		return builtImage{}, err
	}
	return buildImage(context.Background(), provider)
})

func needImage(t *testing.T) builtImage {
	t.Helper()
	needEngine(t)
	image, err := theImage()
	if err != nil {
		t.Fatalf("no image to test: %v", err)
	}
	return image
}

func buildImage(ctx context.Context, provider *testcontainers.DockerProvider) (image builtImage, err error) {
	started := time.Now()
	if image.base, err = goImage(ctx, provider.Client()); err != nil {
		return image, err
	}
	image.baseTook = time.Since(started)

	started = time.Now()
	folder, err := os.MkdirTemp("", "recirc-e2e-")
	if err != nil {
		return image, err
	}
	defer func() { _ = os.RemoveAll(folder) }()
	if err := buildContext(ctx, folder); err != nil {
		return image, err
	}
	image.contextTook = time.Since(started)

	started = time.Now()
	var log bytes.Buffer
	version := builtVersion
	request := testcontainers.ContainerRequest{FromDockerfile: testcontainers.FromDockerfile{
		Context: folder, Repo: "recirc-e2e/recirc", BuildLogWriter: &log,
		BuildArgs: map[string]*string{"GO_IMAGE": &image.base, "VERSION": &version},
	}}
	if image.name, err = provider.BuildImage(ctx, &request); err != nil {
		return image, fmt.Errorf("%w\n%s", err, log.String())
	}
	image.own, image.buildTook = true, time.Since(started)
	imageToRemove = image.name
	return image, forgetOldStages(ctx, provider.Client())
}

// buildContext copies what .dockerignore lets through and vendors its modules
// there, so that the build needs no network and the repository stays clean.
func buildContext(ctx context.Context, folder string) error {
	if err := copyRepository("..", folder); err != nil {
		return err
	}
	vendor := exec.CommandContext(ctx, "go", "mod", "vendor")
	vendor.Dir = folder
	vendor.Env = append(os.Environ(), "GOFLAGS=-mod=mod", "GOWORK=off", "PWD="+folder)
	if out, err := vendor.CombinedOutput(); err != nil {
		return fmt.Errorf("go mod vendor: %w\n%s", err, out)
	}
	return nil
}

func copyRepository(from, to string) error {
	ignored, err := dockerignore(from)
	if err != nil {
		return err
	}
	return filepath.WalkDir(from, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		inside, err := filepath.Rel(from, path)
		if err != nil || inside == "." {
			return err
		}
		skip, err := ignored.MatchesOrParentMatches(filepath.ToSlash(inside))
		// The build itself reads these two, though the context lacks them.
		skip = skip && inside != "Dockerfile" && inside != ".dockerignore" || inside == "vendor"
		switch {
		case err != nil:
			return err
		case skip && entry.IsDir():
			return fs.SkipDir
		case skip:
			return nil
		case entry.IsDir():
			return os.Mkdir(filepath.Join(to, inside), 0o755)
		}
		content, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(to, inside), content, 0o644)
	})
}

func dockerignore(folder string) (*patternmatcher.PatternMatcher, error) {
	f, err := os.Open(filepath.Join(folder, ".dockerignore"))
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }()
	patterns, err := ignorefile.ReadAll(f)
	if err != nil {
		return nil, err
	}
	return patternmatcher.New(patterns)
}

// forgetOldStages removes the build stages of earlier runs, some hundred
// megabytes each. The newest stays: the engine builds the next image from it.
func forgetOldStages(ctx context.Context, docker client.APIClient) error {
	stages, err := docker.ImageList(ctx, client.ImageListOptions{
		Filters: make(client.Filters).Add("dangling", "true").Add("label", stageMark),
	})
	if err != nil {
		return err
	}
	var newest int64
	for _, stage := range stages.Items {
		newest = max(newest, stage.Created)
	}
	for _, stage := range stages.Items {
		if stage.Created < newest {
			// It may be in use by another run, which is no failure of this one.
			_, _ = docker.ImageRemove(ctx, stage.ID, client.ImageRemoveOptions{PruneChildren: true})
		}
	}
	return nil
}

// imageToRemove is the image built here, once it is.
var imageToRemove string

func removeBuiltImage() {
	if imageToRemove == "" {
		return
	}
	provider, err := engine()
	if err == nil {
		_, err = provider.Client().ImageRemove(context.Background(), imageToRemove, client.ImageRemoveOptions{PruneChildren: true})
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "the image stays behind:", err)
	}
}

func TestImageIsSmallAndBare(t *testing.T) {
	image := needImage(t)
	t.Logf("base %s ready in %v, context with modules in %v, image built in %v", image.base, image.baseTook, image.contextTook, image.buildTook)
	provider := needEngine(t)
	got, err := provider.Client().ImageInspect(t.Context(), image.name)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("image size %.1f MB", float64(got.Size)/1e6)
	if got.Size > 25e6 {
		t.Errorf("the image has %d bytes, over 25 MB", got.Size)
	}
	if got.Config.User != "65532:65532" {
		t.Errorf("the image runs as %q", got.Config.User)
	}
	if _, ok := got.Config.ExposedPorts["8080/tcp"]; !ok {
		t.Errorf("the image exposes %v, not 8080/tcp", got.Config.ExposedPorts)
	}
	command := slices.Concat(got.Config.Entrypoint, got.Config.Cmd)
	if !slices.Equal(command, []string{"/recirc", "serve"}) {
		t.Errorf("the image runs %q", command)
	}
	if check := got.Config.Healthcheck; check == nil || !slices.Equal(check.Test, []string{"CMD", "/recirc", "healthcheck"}) {
		t.Errorf("the health check is %+v", check)
	}
}

func TestVersionIsThatOfTheBuild(t *testing.T) {
	want := "recirc "
	if needImage(t).own {
		want += builtVersion + ", calculation core "
	}
	if out := runOnce(t, nil, "version"); !strings.HasPrefix(out, want) {
		t.Errorf("recirc version prints %q, want %q and what follows", out, want)
	}
}
