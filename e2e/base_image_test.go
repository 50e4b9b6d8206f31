package e2e_test

import (
	"archive/tar"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/moby/moby/client"
)

const (
	officialBase  = "golang:1.26"
	ownBase       = "recirc-e2e/golang"
	ownBaseTag    = ownBase + ":local"
	goVersionMark = "recirc.go-version"
)

// goImage names the image to build on: the one asked for, the official one if
// it is here, else one made from the Go that runs this test, because an engine
// without a registry can get no other.
func goImage(ctx context.Context, docker client.APIClient) (string, error) {
	if name := os.Getenv("RECIRC_GO_IMAGE"); name != "" {
		return name, nil
	}
	if _, err := docker.ImageInspect(ctx, officialBase); err == nil {
		return officialBase, nil
	}
	if runtime.GOOS != "linux" {
		return officialBase, nil // this Go does not run in a container; the engine has to pull
	}
	return importedBase(ctx, docker)
}

func importedBase(ctx context.Context, docker client.APIClient) (string, error) {
	root, version, err := localGo(ctx)
	if err != nil {
		return "", err
	}
	if got, err := docker.ImageInspect(ctx, ownBaseTag); err == nil && got.Config != nil && got.Config.Labels[goVersionMark] == version {
		return ownBaseTag, nil
	}
	reader, writer := io.Pipe()
	go func() { writer.CloseWithError(writeBase(writer, root)) }()
	done, err := docker.ImageImport(ctx, client.ImageImportSource{Source: reader, SourceName: "-"}, ownBase, client.ImageImportOptions{
		Tag: "local",
		Changes: []string{
			"ENV PATH=/usr/local/go/bin GOTOOLCHAIN=local HOME=/root",
			"LABEL " + goVersionMark + "=" + version,
		},
	})
	if err != nil {
		return "", fmt.Errorf("importing %s: %w", root, err)
	}
	defer func() { _ = done.Close() }()
	report, err := io.ReadAll(done)
	if err != nil || bytes.Contains(report, []byte(`"errorDetail"`)) {
		return "", fmt.Errorf("importing %s: %s %w", root, report, err)
	}
	return ownBaseTag, nil
}

// localGo asks the go command, since a test binary does not know its GOROOT.
func localGo(ctx context.Context) (root, version string, err error) {
	out, err := exec.CommandContext(ctx, "go", "env", "-json", "GOROOT", "GOVERSION").Output()
	if err != nil {
		return "", "", fmt.Errorf("go env: %w", err)
	}
	var env struct{ GOROOT, GOVERSION string }
	err = json.Unmarshal(out, &env)
	return env.GOROOT, env.GOVERSION, err
}

// writeBase writes the file system of the base image: what `go build` needs of
// a Go distribution, and neither shell nor C library, which it does not.
func writeBase(to io.Writer, root string) error {
	w := tar.NewWriter(to)
	for _, dir := range []string{"tmp/", "root/", "etc/"} {
		header := &tar.Header{Typeflag: tar.TypeDir, Name: dir, Mode: 0o755}
		if dir == "tmp/" {
			header.Mode = 0o1777
		}
		if err := w.WriteHeader(header); err != nil {
			return err
		}
	}
	passwd := "root:x:0:0:root:/root:/none\n"
	if err := w.WriteHeader(&tar.Header{Name: "etc/passwd", Mode: 0o644, Size: int64(len(passwd))}); err != nil {
		return err
	}
	if _, err := io.WriteString(w, passwd); err != nil {
		return err
	}
	for _, part := range []string{"bin", "pkg/tool", "pkg/include", "src", "go.env", "VERSION"} {
		if err := writeTree(w, root, part); err != nil {
			return err
		}
	}
	return w.Close()
}

func writeTree(w *tar.Writer, root, part string) error {
	return filepath.WalkDir(filepath.Join(root, part), func(path string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && notForBuilding(root, path):
			return fs.SkipDir
		case !entry.Type().IsRegular() || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		return writeFile(w, root, path, entry)
	})
}

// notForBuilding is the tests' data and the sources of the Go command: two
// fifths of the distribution.
func notForBuilding(root, path string) bool {
	return filepath.Base(path) == "testdata" || path == filepath.Join(root, "src", "cmd")
}

func writeFile(w *tar.Writer, root, path string, entry fs.DirEntry) error {
	info, err := entry.Info()
	if err != nil {
		return err
	}
	inside, err := filepath.Rel(root, path)
	if err != nil {
		return err
	}
	header := &tar.Header{
		Name: "usr/local/go/" + filepath.ToSlash(inside), Mode: int64(info.Mode().Perm()), Size: info.Size(), ModTime: info.ModTime(),
	}
	if err := w.WriteHeader(header); err != nil {
		return err
	}
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer func() { _ = f.Close() }()
	_, err = io.Copy(w, f)
	return err
}
