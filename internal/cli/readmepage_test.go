package cli_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"rootcue/internal/report/browsertest"
	"rootcue/internal/webhook"
)

// fenced is the README's one block of a language.
func fenced(t *testing.T, language string) string {
	t.Helper()
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	found := regexp.MustCompile("(?s)```"+language+"\n(.*?)```").FindAllStringSubmatch(string(readme), -1)
	if len(found) != 1 {
		t.Fatalf("the README has %d blocks of %s", len(found), language)
	}
	return found[0][1]
}

// readmePage: the README's page, in a browser, from a web server that adds the
// key, shows chains and a report of a real server.
func (b binary) readmePage(t *testing.T) {
	p := b.serve(t, "--demo")
	key := regexp.MustCompile(`read +(rc_\S+)`).FindStringSubmatch(p.welcome)[1]
	server, err := url.Parse(p.base)
	if err != nil {
		t.Fatal(err)
	}
	proxy := &httputil.ReverseProxy{Rewrite: func(r *httputil.ProxyRequest) {
		r.SetURL(server)
		r.Out.URL.Path = strings.TrimPrefix(r.In.URL.Path, "/rootcue")
		r.Out.Header.Set("Authorization", "Bearer "+key)
	}}
	page := fenced(t, "html")
	web := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch {
		case strings.HasPrefix(r.URL.Path, "/rootcue/"):
			proxy.ServeHTTP(w, r)
		case r.URL.Path == "/":
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			fmt.Fprint(w, page)
		default:
			w.WriteHeader(http.StatusNoContent) // the icon that browsers ask for
		}
	}))
	defer web.Close()
	shown := browsertest.Start(t).Open(t, web.URL, browsertest.View{})
	said := browsertest.Eval[string](t, shown, `(async () => {
		const frame = document.getElementById("report");
		for (let i = 0; i < 600 && !frame.srcdoc; i++) await new Promise(done => setTimeout(done, 100));
		const last = [...document.querySelectorAll("nav button")].at(-1);
		const first = frame.srcdoc;
		last.click();
		for (let i = 0; i < 600 && frame.srcdoc === first; i++) await new Promise(done => setTimeout(done, 100));
		return document.querySelectorAll("nav button").length + " " + document.getElementById("chains").textContent + frame.srcdoc;
	})()`)
	if !regexp.MustCompile(`^5 `).MatchString(said) || !regexp.MustCompile(`[a-z-]+ gives back 0\.\d\d ± 0\.\d\d s\. [A-Z]`).MatchString(said) || !strings.Contains(said, "not medical advice") {
		t.Errorf("the page shows %.600s", said)
	}
	if list := shown.Complaints(); len(list) > 0 {
		t.Errorf("the browser complains: %q", list)
	}
}

// The README's check of a webhook takes what the server signs and nothing else.
func TestReadmeVerifiesWebhooks(t *testing.T) {
	const secret, id, body = "whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD", "0197a3b1-6f1e-7c41-9a3e-2b7d5c0e4f10", `{"type":"assessment.made"}`
	page := browsertest.Start(t).Open(t, browsertest.Serve(t, []byte("<!doctype html><title>Webhook</title><script>"+fenced(t, "js")+"</script>"), ""), browsertest.View{})
	verifies := func(at time.Time, id, signature, body string) bool {
		t.Helper()
		return browsertest.Eval[bool](t, page, fmt.Sprintf(`verify(%q, {"webhook-id": %q, "webhook-timestamp": "%d", "webhook-signature": %q}, %q)`, secret, id, at.Unix(), signature, body))
	}
	now := time.Now()
	sign := func(at time.Time) string {
		s, err := webhook.Sign(secret, id, at, []byte(body))
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	if !verifies(now, id, sign(now), body) || !verifies(now, id, "v1,AAAA "+sign(now), body) {
		t.Error("what the server signs is refused")
	}
	old := now.Add(-10 * time.Minute)
	for name, taken := range map[string]bool{
		"another body":            verifies(now, id, sign(now), body+" "),
		"another id":              verifies(now, id+"x", sign(now), body),
		"another time":            verifies(now.Add(time.Second), id, sign(now), body),
		"an old message":          verifies(old, id, sign(old), body),
		"an unknown kind of sign": verifies(now, id, strings.Replace(sign(now), "v1,", "v2,", 1), body),
	} {
		if taken {
			t.Errorf("%s is taken", name)
		}
	}
}
