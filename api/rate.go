package api

import (
	"crypto/sha256"
	"fmt"
	"math"
	"net/netip"
	"strconv"
	"sync"
	"time"
)

// A Rate is how many requests a caller may make in a window of time.
type Rate struct {
	Requests int
	Window   time.Duration
}

// policy is the RateLimit-Policy field (IETF draft "RateLimit header fields
// for HTTP"): one policy, q requests in w seconds.
func (r Rate) policy() string {
	return fmt.Sprintf(`"default";q=%d;w=%d`, r.Requests, int(math.Ceil(r.Window.Seconds())))
}

// remaining is the RateLimit field: r requests left, t seconds until all of
// them are.
func remaining(left int, reset time.Duration) string {
	return fmt.Sprintf(`"default";r=%d;t=%s`, left, seconds(reset))
}

// seconds are whole seconds, rounded up.
func seconds(d time.Duration) string { return strconv.Itoa(int(math.Ceil(d.Seconds()))) }

// Bad keys: after so many in a row from one address, it must wait.
var badKeys = Rate{20, 10 * time.Minute}

// A limiter counts by bucket: each caller has a bucket that fills at a steady
// rate and gives one request a unit (a leaky bucket as a meter, ITU-T I.371).
type limiter struct {
	mu      sync.Mutex
	rate    Rate
	now     func() time.Time
	callers map[string]*bucket
	bad     map[string]*bucket
	good    map[[sha256.Size]byte]time.Time // when a key last opened, by its hash
	swept   time.Time
}

type bucket struct {
	level float64 // requests left
	at    time.Time
}

func newLimiter(r Rate, now func() time.Time) *limiter {
	return &limiter{rate: r, now: now, callers: map[string]*bucket{}, bad: map[string]*bucket{}, good: map[[sha256.Size]byte]time.Time{}, swept: now()}
}

// take uses up one request of a caller. wait is how long until there is one
// again, 0 when this one may go on.
func (l *limiter) take(who string) (left int, reset, wait time.Duration) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	l.sweep(now)
	b := l.rate.bucket(l.callers, who, now)
	each := l.rate.Window / time.Duration(l.rate.Requests)
	if b.level < 1 {
		wait = time.Duration((1 - b.level) * float64(each))
	} else {
		b.level--
	}
	return int(b.level), time.Duration((float64(l.rate.Requests) - b.level) * float64(each)), wait
}

// caller is whom requests from an address are counted against: itself, or in
// IPv6 its network of 64 bits, since a single host has all of that to choose
// from (RFC 4291, 2.5.4; RFC 6177).
func caller(address string) string {
	a, err := netip.ParseAddr(address)
	if err != nil {
		return address
	}
	if a = a.Unmap(); a.Is4() {
		return a.String()
	}
	network, _ := a.WithZone("").Prefix(64) // no IPv6 address has fewer bits
	return network.String()
}

// failed counts a bad key against an address.
func (l *limiter) failed(address string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	b := badKeys.bucket(l.bad, caller(address), l.now())
	b.level = max(b.level-1, 0)
}

// barred is how long an address that sent too many bad keys must wait.
func (l *limiter) barred(address string) time.Duration {
	l.mu.Lock()
	defer l.mu.Unlock()
	who := caller(address)
	if l.bad[who] == nil {
		return 0
	}
	b := badKeys.bucket(l.bad, who, l.now())
	if b.level >= 1 {
		return 0
	}
	return time.Duration((1 - b.level) * float64(badKeys.Window) / float64(badKeys.Requests))
}

// opens notes that a key is good. A club's people share one address: who came
// with a good key before is not barred for another's bad ones.
func (l *limiter) opens(key string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	l.sweep(now)
	l.good[sha256.Sum256([]byte(key))] = now
}

// opened reports whether a key was good a short time ago.
func (l *limiter) opened(key string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	at, ok := l.good[sha256.Sum256([]byte(key))]
	return ok && l.now().Sub(at) < badKeys.Window
}

// bucket is a caller's bucket, filled up to now.
func (r Rate) bucket(of map[string]*bucket, who string, now time.Time) *bucket {
	b := of[who]
	if b == nil {
		b = &bucket{level: float64(r.Requests), at: now}
		of[who] = b
	}
	b.level = min(b.level+now.Sub(b.at).Seconds()/r.Window.Seconds()*float64(r.Requests), float64(r.Requests))
	b.at = now
	return b
}

// sweep forgets, once a window, callers whose bucket is full again, and keys
// not seen for as long.
func (l *limiter) sweep(now time.Time) {
	if now.Sub(l.swept) < max(l.rate.Window, badKeys.Window) {
		return
	}
	l.swept = now
	for who, b := range l.callers {
		if now.Sub(b.at) > l.rate.Window {
			delete(l.callers, who)
		}
	}
	for key, at := range l.good {
		if now.Sub(at) > badKeys.Window {
			delete(l.good, key)
		}
	}
	for who, b := range l.bad {
		if now.Sub(b.at) > badKeys.Window {
			delete(l.bad, who)
		}
	}
}
