package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"recirc/api"
)

// checkFlags are what check may be told.
type checkFlags struct {
	rules         []string
	format        string
	failOn        string
	waivers       string
	baseline      string
	writeBaseline string
	asOf          string
}

const checkExplained = `Compare design files with code and good-practice rules, without a server. A file is
the body of POST /v1/design-checks, JSON or YAML (.yaml, .yml); {"system": ...} alone is enough. A rule whose inputs are
missing is not assessed and says so; nothing here says that a design complies.

Exit codes:
  0  every file was checked, and nothing counts: not met, at the level of --fail-on or above, neither waived nor in the baseline
  1  something counts
  2  a file is wrong, or the call; each fault with its line and column on standard error. The other files are checked`

func checkCommand() *cobra.Command {
	var f checkFlags
	cmd := &cobra.Command{
		Use:   "check FILE...",
		Short: "Check design files against code and good-practice rules",
		Long:  checkExplained,
		Example: "  recirc check house.json\n" +
			"  recirc check --rules good_practice --fail-on caution designs/*.yaml\n" +
			"  recirc check --format sarif --waivers waivers.yaml designs/*.json > findings.sarif\n" +
			"  recirc check --write-baseline baseline.json designs/*.json\n" +
			"  recirc check --baseline baseline.json designs/*.json",
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return check(cmd.InOrStdin(), cmd.OutOrStdout(), &f, args)
		},
	}
	flags := cmd.Flags()
	flags.StringSliceVar(&f.rules, "rules", nil, "sets of rules, apart by commas; left out, those that a file names, or all")
	flags.StringVar(&f.format, "format", "table", strings.Join(api.CheckFormats(), ", "))
	flags.StringVar(&f.failOn, "fail-on", "violation", "least severity that counts: "+strings.Join(api.CheckSeverities(), ", "))
	flags.StringVar(&f.waivers, "waivers", "", "file of waivers, for all files: {\"waivers\": [{\"rule\", \"element\", \"reason\", \"until\"}]}")
	flags.StringVar(&f.baseline, "baseline", "", "findings that do not count: of --write-baseline, of --format json, or an answer of the service")
	flags.StringVar(&f.writeBaseline, "write-baseline", "", "write what is not met and not waived to this file, and let none of it count")
	flags.StringVar(&f.asOf, "as-of", "", "day by which waivers end, as 2026-11-25; left out, that of a file, or today")
	return cmd
}

func check(in io.Reader, out io.Writer, f *checkFlags, files []string) error {
	run, err := f.begin(in)
	if err != nil {
		return &exitError{exitWrongRequest, err.Error()}
	}
	for _, name := range files {
		text, err := readFile(name, in, api.DefaultLimits().BodyBytes)
		if err != nil {
			run.Unreadable(name, err)
			continue
		}
		run.Add(name, string(text))
	}
	if err := f.write(run, out); err != nil {
		return &exitError{exitWrongRequest, err.Error()}
	}
	return f.outcome(run.Outcome())
}

// begin reads what the flags name.
func (f *checkFlags) begin(in io.Reader) (*api.CheckRun, error) {
	limits := api.DefaultLimits()
	s := api.CheckSettings{Sets: f.rules, AsOf: f.asOf, Today: time.Now().UTC().Format(time.DateOnly), FailOn: f.failOn, Limits: limits}
	if f.waivers != "" {
		text, err := readFile(f.waivers, in, limits.BodyBytes)
		if err != nil {
			return nil, err
		}
		if s.Waivers, err = api.ReadWaivers(f.waivers, string(text), limits); err != nil {
			return nil, err
		}
	}
	if f.baseline != "" {
		text, err := readFile(f.baseline, in, 16*limits.BodyBytes)
		if err != nil {
			return nil, err
		}
		if s.Baseline, err = api.ReadBaseline(text); err != nil {
			return nil, fmt.Errorf("%s: %w", f.baseline, err)
		}
	}
	run, err := api.NewCheckRun(&s)
	if err != nil {
		return nil, err
	}
	return run, api.IsCheckFormat(f.format)
}

func (f *checkFlags) write(run *api.CheckRun, out io.Writer) error {
	text, err := run.Write(f.format)
	if err != nil {
		return err
	}
	if _, err := out.Write(text); err != nil || f.writeBaseline == "" {
		return err
	}
	if text, err = run.WriteBaseline(); err != nil {
		return err
	}
	return os.WriteFile(f.writeBaseline, text, 0o644)
}

// outcome is how the program ends.
func (f *checkFlags) outcome(o api.Outcome) error {
	switch {
	case len(o.Wrong) > 0:
		return &exitError{exitWrongRequest, "what cannot be checked:\n" + strings.Join(o.Wrong, "\n")}
	case o.Fails > 0 && f.writeBaseline == "":
		return &exitError{exitDesignFaults, fmt.Sprintf("not met, %s or above: %d", f.failOn, o.Fails)}
	}
	return nil
}
