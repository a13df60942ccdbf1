package report_test

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// step is an action in a browser without a result.
type step = chromedp.Action[chromedp.Void]

// command returns a command of the protocol as a step.
func command[P, R any](cmd cdp.Command[P, R], params P) step {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, cmd, params)
		return err
	})
}

// browser is a tab of a real browser, with what it noticed.
type browser struct {
	ctx context.Context

	mu       sync.Mutex
	requests []string // other than for the page itself
	trouble  []string // exceptions, warnings, refusals by the page's policy
}

// chromium is the browser that all tests share. The first test that needs it
// starts it.
var chromium struct {
	start sync.Once
	ctx   context.Context
	stop  context.CancelFunc
	err   error
}

func TestMain(m *testing.M) {
	code := m.Run()
	if chromium.stop != nil {
		chromium.stop()
	}
	os.Exit(code)
}

func startChromium(program string) {
	chromium.ctx, chromium.stop = chromedp.NewContext(context.Background(), chromedp.WithAllocatorOptions(
		chromedp.ExecPath(program), chromedp.WindowSize(1280, 1000), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true)))
	chromium.err = chromedp.Do(chromium.ctx)
}

// open shows a page in a window and a profile of its own, after some preparation.
// Without Chromium the test is skipped.
func open(t *testing.T, page writer, prepare ...step) *browser {
	t.Helper()
	program, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("no chromium on this machine, so the page is not tried in a browser")
	}
	chromium.start.Do(func() { startChromium(program) })
	require.NoError(t, chromium.err)
	file := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(file, written(t, page), 0o600))
	url := "file://" + file

	ctx, leave := chromedp.NewContext(chromium.ctx, chromedp.WithNewBrowserContext())
	t.Cleanup(leave)
	ctx, expire := context.WithTimeout(ctx, 5*time.Minute)
	t.Cleanup(expire)

	b := &browser{ctx: ctx}
	require.NoError(t, chromedp.Listen(ctx, func(event any) { b.notice(url, event) }))
	b.do(t, command(network.Enable, network.EnableParams{}), command(log.Enable, cdp.Empty{}), command(runtime.Enable, cdp.Empty{}))
	b.do(t, prepare...)
	b.do(t, chromedp.Navigate(url))
	return b
}

func (b *browser) notice(url string, event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch event := event.(type) {
	case *network.EventRequestWillBeSent:
		if event.Request.URL != url && event.Request.URL != "data:," {
			b.requests = append(b.requests, event.Request.URL)
		}
	case *log.EventEntryAdded:
		b.trouble = append(b.trouble, event.Entry.Text)
	case *runtime.EventExceptionThrown:
		b.trouble = append(b.trouble, event.ExceptionDetails.Text)
	}
}

func (b *browser) do(t *testing.T, steps ...step) {
	t.Helper()
	require.NoError(t, chromedp.Do(b.ctx, steps...))
}

// quiet requires that the page made no request and had no trouble.
func (b *browser) quiet(t *testing.T) {
	t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	assert.Empty(t, b.requests, "requests")
	assert.Empty(t, b.trouble)
}

// get returns the result of an action.
func get[T any](t *testing.T, b *browser, action chromedp.Action[T]) T {
	t.Helper()
	value, err := chromedp.Run(b.ctx, action)
	require.NoError(t, err)
	return value
}

// eval returns the value of an expression in the page.
func eval[T any](t *testing.T, b *browser, expression string) T {
	t.Helper()
	return get(t, b, chromedp.Evaluate[T](expression))
}
