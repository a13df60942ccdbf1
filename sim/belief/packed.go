package belief

// distinct is a list of values that all differ.
type distinct[T comparable] struct {
	all []T
	at  map[T]int32 // where each is, once they are too many to be compared one by one
}

const fewDistinct = 8

func (d *distinct[T]) clear() {
	d.all = d.all[:0]
	clear(d.at)
}

// matchTakes returns where a value is in the list, to which it adds a new one.
func (d *distinct[T]) index(v *T) (at int32, added bool) {
	if at, known := d.find(v); known {
		return at, false
	}
	n := len(d.all)
	d.all = append(d.all, *v)
	switch {
	case n > fewDistinct:
		d.at[*v] = int32(n)
	case n == fewDistinct:
		if d.at == nil {
			d.at = map[T]int32{}
		}
		for i, v := range d.all {
			d.at[v] = int32(i)
		}
	}
	return int32(n), true
}

func (d *distinct[T]) find(v *T) (at int32, known bool) {
	if len(d.all) > fewDistinct {
		at, known = d.at[*v]
		return at, known
	}
	for i := range d.all {
		if d.all[i] == *v {
			return int32(i), true
		}
	}
	return 0, false
}

// arena keeps short lists, many in one piece of memory.
type arena[T any] struct{ block []T }

// clone returns a copy of a list.
func (p *arena[T]) clone(list []T) []T {
	const inOnePiece = 64
	if len(list) > cap(p.block)-len(p.block) {
		p.block = make([]T, 0, max(inOnePiece, len(list)))
	}
	from := len(p.block)
	p.block = append(p.block, list...)
	return p.block[from:len(p.block):len(p.block)]
}
