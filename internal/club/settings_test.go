package club

import "testing"

// An origin goes into Content-Security-Policy as it is: none of what is taken
// ends the directive it stands in (CSP Level 3, 2.2.1: directives are parted by
// semicolons, policies by commas).
func TestOrigins(t *testing.T) {
	for origin, want := range map[string]bool{
		"https://club.example": true, "https://club.example:8443": true, "https://*.club.example": true, "https://[2001:db8::1]": true, "https://xn--bcher-kva.example": true,
		"": false, "https://": false, "http://club.example": false, "https://club.example/": false, "https://user@club.example": false,
		"https://club.example;script-src": false, "https://club.example,default-src": false, "https://'unsafe-inline'": false, "https://club.example\r\nX:": false, "https://club example": false, "https://b\u00fccher.example": false, "*": false,
	} {
		if got := goodOrigin(origin); got != want {
			t.Errorf("%q: found %v, wanted %v", origin, got, want)
		}
	}
}
