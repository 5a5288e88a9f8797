package shape

import "encoding/json"

// JSON writes the value as JSON, keys in their order.
func (n *Node) JSON() []byte {
	b, err := json.Marshal(n.plain())
	if err != nil {
		panic("shape: value is not JSON: " + err.Error())
	}
	return b
}

func (n *Node) plain() any {
	switch n.Kind {
	case Bool:
		return n.Bool
	case Number:
		return n.Number
	case Text:
		return n.Text
	case List:
		list := make([]any, 0, len(n.items))
		for _, it := range n.items {
			list = append(list, it.plain())
		}
		return list
	case Map:
		o := object{}
		for _, f := range n.fields {
			o = append(o, member{f.Key.Text, f.Value.plain()})
		}
		return o
	}
	return nil
}
