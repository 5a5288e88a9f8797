package cause

// scaleHalf multiplies the cells in which the bit has the state, 0 or 1.
func scaleHalf(cells []float64, bit, state int, factor float64) {
	step := 1 << bit
	for at := state * step; at < len(cells); at += 2 * step {
		half := cells[at : at+step]
		for i := range half {
			half[i] *= factor
		}
	}
}

// sumBlocks sums each block of 2^own neighbouring cells into one and returns
// the sum of all.
func sumBlocks(out, cells []float64, own int) (total float64) {
	for k := range out {
		sum := 0.0
		for _, v := range cells[k<<own : (k+1)<<own] {
			sum += v
		}
		out[k] = sum
		total += sum
	}
	return total
}

// sumInto sums the cells into those of out that the map gives, and returns the
// sum of all.
func sumInto(out, cells []float64, to []uint16) (total float64) {
	clear(out)
	for i, v := range cells {
		out[to[i]] += v
	}
	for _, v := range out {
		total += v
	}
	return total
}

// multiply multiplies each cell by the message's cell that the map gives, and
// scales all when they come close to underflow.
func multiply(cells []float64, to []uint16, message []float64) {
	most := 0.0
	for i, v := range cells {
		v *= message[to[i]]
		cells[i] = v
		if v > most {
			most = v
		}
	}
	if most == 0 || most >= rescaleBelow {
		return
	}
	for i := range cells {
		cells[i] /= most
	}
}
