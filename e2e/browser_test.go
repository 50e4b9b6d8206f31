package e2e_test

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// TestExplorerInABrowser reads the explorer as a person would: open the page,
// find the calculations, try one with the example that is filled in.
func TestExplorerInABrowser(t *testing.T) {
	s := startService(t)
	ear := &browserEar{}
	ctx := openBrowser(t, ear)
	do := func(what string, steps ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, steps...); err != nil {
			keepScreenshot(t, ctx, "failed")
			t.Fatalf("%s: %v\n%s", what, err, strings.Join(ear.complaints(s.url), "\n"))
		}
	}

	do("the page opens", chromedp.Navigate(s.url+"/docs"))
	do("it shows the calculations",
		chromedp.WaitVisible(chromedp.ID("operations-calculations-deadLegs")),
		chromedp.WaitVisible(chromedp.ID("operations-calculations-waitTimes")))
	for id, want := range map[string]string{"deadLegs": "POST /v1/dead-legs", "waitTimes": "POST /v1/wait-times"} {
		if got := textOf(t, ctx, "#operations-calculations-"+id+" .opblock-summary"); !strings.HasPrefix(got, want) {
			t.Errorf("the operation %s is shown as %q, want %q", id, got, want)
		}
	}
	keepScreenshot(t, ctx, "overview")

	const operation = "#operations-calculations-deadLegs "
	do("an operation opens", chromedp.Click(chromedp.CSS(operation+".opblock-summary-control")))
	do("its body is filled in", chromedp.WaitVisible(chromedp.CSS(operation+"textarea.body-param__text")))
	body, err := chromedp.Run(ctx, chromedp.Value(chromedp.CSS(operation+"textarea.body-param__text")))
	if err != nil {
		t.Fatal(err)
	}
	if !isExampleOf(t, fetchContract(t, s), "/v1/dead-legs", body) {
		t.Errorf("the body filled in is no example of the contract:\n%s", body)
	}
	keepScreenshot(t, ctx, "operation")

	do("the request is sent", chromedp.Click(chromedp.CSS(operation+"button.execute")))
	do("it is answered", chromedp.WaitVisible(chromedp.CSS(operation+".live-responses-table .response-col_status")))
	if status := textOf(t, ctx, operation+".live-responses-table tbody .response-col_status"); !strings.HasPrefix(status, "200") {
		t.Errorf("the explorer shows status %q", status)
	}
	if answer := textOf(t, ctx, operation+".live-responses-table tbody .response-col_description"); !strings.Contains(answer, `"stored_volume"`) {
		t.Errorf("the explorer shows no stored volume:\n%s", answer)
	}
	keepScreenshot(t, ctx, "answer")

	for _, complaint := range ear.complaints(s.url) {
		t.Error(complaint)
	}
	if !ear.heard("/openapi.json") || !ear.heard("/v1/dead-legs") {
		t.Error("the test does not hear the requests of the page")
	}

	// The page keeps to its policy; make sure that there is one, and that the
	// silence above means something.
	do("a script is put into the page", chromedp.Evaluate[chromedp.Void](
		`document.body.appendChild(Object.assign(document.createElement("script"), {textContent: "window.foreign = true"})); 0`))
	ran, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`window.foreign === true`))
	if err != nil || ran {
		t.Errorf("a script put into the page runs: %v, %v", ran, err)
	}
	within(t, 10*time.Second, "the browser reports the script", func() bool { return len(ear.complaints(s.url)) > 0 })
}

// openBrowser starts a headless Chromium that reports what it does.
func openBrowser(t *testing.T, ear *browserEar) context.Context {
	t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(chromium(t)),
		chromedp.NoSandbox, // root, as in CI, has none
		chromedp.WindowSize(1280, 1600))
	ctx, cancel := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx, chromedp.WithListener(ear.listen))
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("Chromium does not start: %v", err)
	}
	ctx, cancel = context.WithTimeout(ctx, 2*time.Minute)
	t.Cleanup(cancel)
	return ctx
}

func chromium(t *testing.T) string {
	t.Helper()
	names := []string{"chromium", "chromium-browser", "google-chrome"}
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	skip(t, "the PATH has no "+strings.Join(names, ", "))
	return ""
}

func textOf(t *testing.T, ctx context.Context, selector string) string {
	t.Helper()
	text, err := chromedp.Run(ctx, chromedp.Text(chromedp.CSS(selector)))
	if err != nil {
		t.Fatalf("reading %s: %v", selector, err)
	}
	return strings.Join(strings.Fields(strings.ReplaceAll(text, "\u200b", "")), " ")
}

func isExampleOf(t *testing.T, c *contract, path, body string) bool {
	t.Helper()
	return slices.ContainsFunc(c.requestExamples(t), func(e example) bool {
		return e.path == path && sameJSON(t, e.body, []byte(body))
	})
}

// keepScreenshot saves what the browser shows, if somebody wants to see it.
func keepScreenshot(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	folder := os.Getenv("RECIRC_E2E_ARTIFACTS")
	if folder == "" {
		return
	}
	picture, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
	if err == nil {
		err = os.MkdirAll(folder, 0o755)
	}
	if err == nil {
		err = os.WriteFile(filepath.Join(folder, "explorer-"+name+".png"), picture, 0o644)
	}
	if err != nil {
		t.Errorf("screenshot %s: %v", name, err)
	}
}

// browserEar collects what the browser requests and what it complains of.
type browserEar struct {
	mu       sync.Mutex
	requests []string
	troubles []string
}

// listen runs in the browser's message loop, so it only takes notes.
func (b *browserEar) listen(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		b.requests = append(b.requests, e.Request.URL)
	case *network.EventResponseReceived:
		if e.Response.Status >= 400 {
			b.troubles = append(b.troubles, fmt.Sprintf("%s gives %d", e.Response.URL, e.Response.Status))
		}
	case *network.EventLoadingFailed:
		b.troubles = append(b.troubles, fmt.Sprintf("a %s fails to load: %s %s", e.Type, e.ErrorText, e.BlockedReason))
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError || e.Entry.Source == log.EntrySourceSecurity {
			b.troubles = append(b.troubles, fmt.Sprintf("the browser logs (%s): %s", e.Entry.Source, e.Entry.Text))
		}
	case *runtime.EventExceptionThrown:
		b.troubles = append(b.troubles, fmt.Sprintf("a script throws: %v", e.ExceptionDetails))
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError {
			b.troubles = append(b.troubles, fmt.Sprintf("a script complains: %v", e.Args))
		}
	}
}

func (b *browserEar) heard(path string) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.ContainsFunc(b.requests, func(request string) bool { return strings.HasSuffix(request, path) })
}

// complaints are the troubles so far, and every request to somewhere else.
func (b *browserEar) complaints(home string) []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	all := slices.Clone(b.troubles)
	for _, request := range b.requests {
		u, err := url.Parse(request)
		if err != nil || u.Scheme != "data" && u.Scheme+"://"+u.Host != home {
			all = append(all, "the page asks elsewhere: "+request)
		}
	}
	return all
}
