package reduce

import "math"

// square is a symmetric matrix, row by row.
type square struct {
	n int
	v []float64
}

func newSquare(n int) square { return square{n, make([]float64, n*n)} }

func (m square) row(i int) []float64 { return m.v[i*m.n : (i+1)*m.n] }

func dot(a, b []float64) (s float64) {
	for i, v := range a {
		s += v * b[i]
	}
	return s
}

// solveNormal solves normal equations, m·x = y, and gives the inverse of m,
// which must be symmetric and positive definite. The columns are scaled to a
// unit diagonal first, so that unknowns of different units do no harm, and m
// is factored by Cholesky: L·Lᵀ. ok is false where a pivot vanishes: an
// unknown that the equations leave open.
func solveNormal(m square, y []float64) (x []float64, inverse square, ok bool) {
	n := m.n
	scale := make([]float64, n)
	for i := range scale {
		scale[i] = 1 / math.Sqrt(m.v[i*n+i])
	}
	l := newSquare(n)
	for i := range n {
		li := l.row(i)
		for j := range i + 1 {
			lj := l.row(j)
			s := m.v[i*n+j]*scale[i]*scale[j] - dot(li[:j], lj[:j])
			if i != j {
				li[j] = s / lj[j]
				continue
			}
			if !(s > 1e-14) {
				return nil, square{}, false
			}
			li[i] = math.Sqrt(s)
		}
	}
	// The rows of k are the columns of L's inverse: LL⁻ᵀ k = unit vectors.
	k := newSquare(n)
	for c := range n {
		kc := k.row(c)
		kc[c] = 1 / l.v[c*n+c]
		for i := c + 1; i < n; i++ {
			kc[i] = -dot(l.row(i)[c:i], kc[c:i]) / l.v[i*n+i]
		}
	}
	inverse = newSquare(n)
	for i := range n {
		for j := i; j < n; j++ {
			v := dot(k.row(i)[j:], k.row(j)[j:]) * scale[i] * scale[j]
			inverse.v[i*n+j], inverse.v[j*n+i] = v, v
		}
	}
	// The solution by substitution, which rounds less than the inverse.
	x = make([]float64, n)
	for i := range n {
		x[i] = (y[i]*scale[i] - dot(l.row(i)[:i], x[:i])) / l.v[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		x[i] /= l.v[i*n+i]
		for j, v := range l.row(i)[:i] {
			x[j] -= v * x[i]
		}
	}
	for i := range x {
		x[i] *= scale[i]
	}
	return x, inverse, true
}

// term is one entry of a sparse vector.
type term struct {
	column int
	value  float64
}

// times is the scalar product with a dense vector.
func times(s []term, x []float64) (sum float64) {
	for _, t := range s {
		sum += t.value * x[t.column]
	}
	return sum
}

// form is aᵀ·m·b.
func (m square) form(a, b []term) (sum float64) {
	for _, t := range a {
		sum += t.value * times(b, m.row(t.column))
	}
	return sum
}

// plus adds f·b to a, in place of a.
func plus(a []term, f float64, b []term) []term {
next:
	for _, t := range b {
		for i := range a {
			if a[i].column == t.column {
				a[i].value += f * t.value
				continue next
			}
		}
		a = append(a, term{t.column, f * t.value})
	}
	return a
}
