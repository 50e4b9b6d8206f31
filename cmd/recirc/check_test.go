package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"go.yaml.in/yaml/v4"
)

// buildFolder is where the binary stands, as long as the tests run.
var buildFolder string

func TestMain(m *testing.M) {
	var err error
	if buildFolder, err = os.MkdirTemp("", "recirc"); err != nil {
		panic(err)
	}
	code := m.Run()
	_ = os.RemoveAll(buildFolder)
	os.Exit(code)
}

// binary builds the program once, as a user gets it.
var binary = sync.OnceValues(func() (string, error) {
	path := filepath.Join(buildFolder, "recirc")
	if out, err := exec.Command("go", "build", "-o", path, ".").CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return path, nil
})

// started runs the binary in a folder.
func started(t *testing.T, folder string, args ...string) (code int, out, errs string) {
	t.Helper()
	path, err := binary()
	if err != nil {
		t.Fatal(err)
	}
	var o, e strings.Builder
	cmd := exec.Command(path, args...)
	cmd.Dir, cmd.Stdout, cmd.Stderr = folder, &o, &e
	err = cmd.Run()
	if exit, ok := err.(*exec.ExitError); ok {
		return exit.ExitCode(), o.String(), e.String()
	}
	if err != nil {
		t.Fatal(err)
	}
	return 0, o.String(), e.String()
}

// asYAML writes a JSON file as YAML.
func asYAML(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	var root any
	if err := json.Unmarshal(text, &root); err != nil {
		t.Fatal(err)
	}
	text, err = yaml.Marshal(root)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func fileOf(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestCalcReadsYAML: a design says the same in both spellings.
func TestCalcReadsYAML(t *testing.T) {
	file := fileOf(t, "house.yaml", asYAML(t, house))
	code, out, errs := call(t, "", "calc", "dead-legs", file)
	if _, want, _ := call(t, "", "calc", "dead-legs", house); code != 0 || out != want {
		t.Errorf("code %d, %s, %.300s", code, errs, out)
	}
	broken := fileOf(t, "broken.yml", "system:\n  heater: {node: h\n")
	if code, _, errs := call(t, "", "calc", "dead-legs", broken); code != 2 || !strings.Contains(errs, broken+":3:1: Not valid YAML") {
		t.Errorf("code %d, %s", code, errs)
	}
}

// TestReadmeOfCheck runs the commands that the README shows, as far as their
// flags go.
func TestReadmeOfCheck(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	shown := 0
	for _, line := range strings.Split(string(text), "\n") {
		_, command, found := strings.Cut(line, "recirc check ")
		if !found || strings.HasPrefix(strings.TrimSpace(line), "`") {
			continue
		}
		command, _, _ = strings.Cut(command, ">")
		command = strings.Trim(strings.TrimSpace(command), "'")
		cmd := checkCommand()
		if err := cmd.ParseFlags(strings.Fields(command)); err != nil || cmd.Flags().NArg() == 0 {
			t.Errorf("recirc check %s: %v", command, err)
		}
		shown++
	}
	if shown < 8 {
		t.Errorf("only %d commands were found", shown)
	}
}
