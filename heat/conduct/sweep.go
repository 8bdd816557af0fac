package conduct

// The three families of tridiagonal systems of a step. Where there is no
// neighbour its link is zero, which ends the run of cells; a cell of air has no
// links at all and keeps its zero.

// sweepX solves along x, four rows side by side so that their divisions overlap.
func (s *solver) sweepX(tdt float64) {
	nx := s.g.n[0]
	if nx == 1 {
		s.divide()
		return
	}
	n := s.g.cells()
	rows := n / nx
	r := 0
	for ; r+4 <= rows; r += 4 {
		s.rowX4(s.pad+r*nx, nx, tdt)
	}
	for ; r < rows; r++ {
		s.rowX(s.pad+r*nx, nx, tdt)
	}
}

// divide is the sweep along an axis of one cell.
func (s *solver) divide() {
	n := s.g.cells()
	d := s.d[s.pad : s.pad+n]
	m := s.m[s.pad:][:len(d)]
	for i := range d {
		d[i] /= m[i]
	}
}

func (s *solver) rowX(row, nx int, tdt float64) {
	d := s.d[row : row+nx : row+nx]
	m := s.m[row:][:len(d)]
	g := s.link[0][row:][:len(d)]
	cp := s.cp[row:][:len(d)]
	var gp, c, v float64
	for i := range d {
		gn := tdt * g[i]
		inv := 1 / (m[i] + gn + gp - gp*c)
		v = (d[i] + gp*v) * inv
		c = gn * inv
		d[i], cp[i] = v, c
		gp = gn
	}
	for i := len(d) - 2; i >= 0; i-- {
		v = d[i] + cp[i]*v
		d[i] = v
	}
}

func (s *solver) rowX4(row, nx int, tdt float64) {
	d0 := s.d[row : row+nx : row+nx]
	d1 := s.d[row+nx:][:len(d0)]
	d2 := s.d[row+2*nx:][:len(d0)]
	d3 := s.d[row+3*nx:][:len(d0)]
	m0 := s.m[row:][:len(d0)]
	m1 := s.m[row+nx:][:len(d0)]
	m2 := s.m[row+2*nx:][:len(d0)]
	m3 := s.m[row+3*nx:][:len(d0)]
	l := s.link[0]
	g0 := l[row:][:len(d0)]
	g1 := l[row+nx:][:len(d0)]
	g2 := l[row+2*nx:][:len(d0)]
	g3 := l[row+3*nx:][:len(d0)]
	c0 := s.cp[row:][:len(d0)]
	c1 := s.cp[row+nx:][:len(d0)]
	c2 := s.cp[row+2*nx:][:len(d0)]
	c3 := s.cp[row+3*nx:][:len(d0)]
	var p0, p1, p2, p3, e0, e1, e2, e3, v0, v1, v2, v3 float64
	for i := range d0 {
		n0, n1, n2, n3 := tdt*g0[i], tdt*g1[i], tdt*g2[i], tdt*g3[i]
		i0 := 1 / (m0[i] + n0 + p0 - p0*e0)
		i1 := 1 / (m1[i] + n1 + p1 - p1*e1)
		i2 := 1 / (m2[i] + n2 + p2 - p2*e2)
		i3 := 1 / (m3[i] + n3 + p3 - p3*e3)
		v0 = (d0[i] + p0*v0) * i0
		v1 = (d1[i] + p1*v1) * i1
		v2 = (d2[i] + p2*v2) * i2
		v3 = (d3[i] + p3*v3) * i3
		e0, e1, e2, e3 = n0*i0, n1*i1, n2*i2, n3*i3
		d0[i], d1[i], d2[i], d3[i] = v0, v1, v2, v3
		c0[i], c1[i], c2[i], c3[i] = e0, e1, e2, e3
		p0, p1, p2, p3 = n0, n1, n2, n3
	}
	for i := len(d0) - 2; i >= 0; i-- {
		v0 = d0[i] + c0[i]*v0
		v1 = d1[i] + c1[i]*v1
		v2 = d2[i] + c2[i]*v2
		v3 = d3[i] + c3[i]*v3
		d0[i], d1[i], d2[i], d3[i] = v0, v1, v2, v3
	}
}

// sweepY solves along y, a whole row of x at a time.
func (s *solver) sweepY(tdt float64) {
	nx, ny, nz := s.g.n[0], s.g.n[1], s.g.n[2]
	if ny == 1 {
		return // (M)⁻¹·M
	}
	for k := range nz {
		first := s.pad + k*s.pad
		for j := range ny {
			s.forward(s.link[1], first+j*nx, nx, nx, tdt)
		}
		for j := ny - 2; j >= 0; j-- {
			s.backward(first+j*nx, nx, nx)
		}
	}
}

// sweepZ solves along z, a whole plane at a time, row by row.
func (s *solver) sweepZ(tdt float64) {
	nx, ny, nz := s.g.n[0], s.g.n[1], s.g.n[2]
	if nz == 1 {
		return
	}
	for k := range nz {
		for j := range ny {
			s.forward(s.link[2], s.pad+k*s.pad+j*nx, nx, s.pad, tdt)
		}
	}
	for k := nz - 2; k >= 0; k-- {
		for j := range ny {
			s.backward(s.pad+k*s.pad+j*nx, nx, s.pad)
		}
	}
}

// forward eliminates one row against the row a stride before it.
func (s *solver) forward(link []float64, row, nx, stride int, tdt float64) {
	d := s.d[row : row+nx : row+nx]
	m := s.m[row:][:len(d)]
	g := link[row:][:len(d)]
	gm := link[row-stride:][:len(d)]
	cp := s.cp[row:][:len(d)]
	cm := s.cp[row-stride:][:len(d)]
	dm := s.d[row-stride:][:len(d)]
	for i := range d {
		gn, gp := tdt*g[i], tdt*gm[i]
		inv := 1 / (m[i] + gn + gp - gp*cm[i])
		d[i] = (m[i]*d[i] + gp*dm[i]) * inv
		cp[i] = gn * inv
	}
}

// backward substitutes the row a stride after.
func (s *solver) backward(row, nx, stride int) {
	d := s.d[row : row+nx : row+nx]
	cp := s.cp[row:][:len(d)]
	dn := s.d[row+stride:][:len(d)]
	for i := range d {
		d[i] += cp[i] * dn[i]
	}
}
