package api

// A Role says what a key may do. Each includes the ones before it.
type Role int

// The roles, smallest first.
const (
	Open   Role = iota // nobody is asked for a key
	Read               // a website
	Submit             // an evaluator
	Edit               // an instructor
	Admin              // whoever runs the club's account
)

var roleNames = [...]string{"open", "read", "submit", "edit", "admin"}

// String is the role's name in keys, answers and the OpenAPI document.
func (r Role) String() string { return roleNames[r] }

// ParseRole finds a role by its name; a key cannot have the role open.
func ParseRole(name string) (Role, bool) {
	for r := Read; r <= Admin; r++ {
		if r.String() == name {
			return r, true
		}
	}
	return Open, false
}
