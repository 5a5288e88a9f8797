//go:build !race

package api_test

import (
	"context"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/chromedp"
)

// browser is a tab of a headless browser. As root it runs without its sandbox.
func browser(t *testing.T) context.Context {
	t.Helper()
	options := chromedp.DefaultExecAllocatorOptions[:]
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	all, stopAll := chromedp.NewExecAllocator(context.Background(), options...)
	tab, closeTab := chromedp.NewContext(all)
	tab, stop := context.WithTimeout(tab, time.Minute)
	t.Cleanup(func() {
		stop()
		closeTab()
		stopAll()
	})
	return tab
}

// trySend presses a form's button and gives what the page then shows.
func trySend(t *testing.T, tab context.Context, path string) string {
	t.Helper()
	form := `form[data-path="` + path + `"]`
	clear := chromedp.Evaluate[bool](`document.querySelector('` + form + ` output').replaceChildren(), true`)
	if _, err := chromedp.Run(tab, clear); err != nil {
		t.Fatal(err)
	}
	if err := chromedp.Do(tab, chromedp.Click(form+` button`), chromedp.WaitVisible(form+` output pre`)); err != nil {
		t.Fatal(err)
	}
	text, err := chromedp.Run(tab, chromedp.Text(form+` output`))
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// The form of the reference sends what it shows, fills in what is chosen, and
// the page's own policy lets it.
func TestReferenceInABrowser(t *testing.T) {
	server := httptest.NewServer(newServer(t, nil))
	defer server.Close()
	tab := browser(t)
	complaints := make(chan string, 100)
	if err := chromedp.Listen(tab, func(event any) {
		if e, ok := event.(*log.EventEntryAdded); ok {
			complaints <- e.Entry.Text
		}
	}); err != nil {
		t.Fatal(err)
	}
	if err := chromedp.Do(tab, chromedp.Navigate(server.URL+"/docs")); err != nil {
		t.Fatal(err)
	}
	if got := trySend(t, tab, "/v1/assess"); !strings.HasPrefix(got, "200") || !strings.Contains(got, `"ref": "P-0733"`) {
		t.Errorf("the example is answered %s", cut(got))
	}
	choose := `{ const s = document.querySelector("#assess-fill"); s.selectedIndex = [...s.options].findIndex(o => o.text === "d-07-receiving"); s.dispatchEvent(new Event("change")) }`
	if _, err := chromedp.Run(tab, chromedp.Evaluate[bool](choose)); err != nil {
		t.Fatal(err)
	}
	if got := trySend(t, tab, "/v1/assess"); !strings.HasPrefix(got, "200") || !strings.Contains(got, `"ref": "D-07"`) {
		t.Errorf("the chosen observation is answered %s", cut(got))
	}
	if err := chromedp.Do(tab, chromedp.SetValue(`#read-rubric-name`, "no/such")); err != nil {
		t.Fatal(err)
	}
	if got := trySend(t, tab, "/v1/rubrics/{name}"); !strings.HasPrefix(got, "404") || !strings.Contains(got, `\"no/such\"`) {
		t.Errorf("an unknown rubric is answered %s", cut(got))
	}
	for len(complaints) > 0 {
		if c := <-complaints; !strings.Contains(c, "404") { // it tells of the answer asked for above, and of the icon it looks for
			t.Errorf("the browser says: %s", c)
		}
	}
}
