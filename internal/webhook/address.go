package webhook

import (
	"errors"
	"net"
	"net/netip"
	"syscall"
)

// ErrForbidden: the address lies within a network that is nobody's to call.
var ErrForbidden = errors.New("the address is private, of this machine, or otherwise not of the public internet")

// forbidden are the networks that are not the public internet, beside what
// netip itself tells (IANA special-purpose address registries).
var forbidden = prefixes(
	"0.0.0.0/8",       // this network
	"100.64.0.0/10",   // shared by carriers
	"192.0.0.0/24",    // protocol assignments
	"192.0.2.0/24",    // documentation
	"192.88.99.0/24",  // 6to4 relays
	"198.18.0.0/15",   // benchmarks
	"198.51.100.0/24", // documentation
	"203.0.113.0/24",  // documentation
	"240.0.0.0/4",     // reserved, broadcast
	"64:ff9b::/96",    // IPv4 behind NAT64: the address within counts
	"64:ff9b:1::/48",
	"100::/64",      // discard
	"2001::/23",     // protocol assignments, Teredo among them
	"2001:db8::/32", // documentation
	"2002::/16",     // 6to4: the address within counts
	"3fff::/20",     // documentation
	"5f00::/16",     // segment routing
	"fec0::/10",     // site-local, deprecated
	"::/96",         // IPv4-compatible, deprecated
)

func prefixes(list ...string) (out []netip.Prefix) {
	for _, p := range list {
		out = append(out, netip.MustParsePrefix(p))
	}
	return out
}

// Public reports whether an address is one of the public internet.
func Public(a netip.Addr) bool {
	a = a.Unmap().WithZone("")
	if !a.IsGlobalUnicast() || a.IsPrivate() || a.IsLoopback() {
		return false
	}
	for _, p := range forbidden {
		if p.Contains(a) {
			return false
		}
	}
	return true
}

// control refuses a connection when the name has been resolved and the address
// is certain: what a name resolves to at any other time proves nothing.
func (s *Sender) control(network, address string, _ syscall.RawConn) error {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return ErrForbidden
	}
	a, err := netip.ParseAddr(host)
	if err != nil || network != "tcp4" && network != "tcp6" {
		return ErrForbidden
	}
	if Public(a) || s.AllowLoopback && a.Unmap().IsLoopback() {
		return nil
	}
	return ErrForbidden
}
