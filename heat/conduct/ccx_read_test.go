//go:build ccx

package conduct

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// feHistory is what the program printed: temperatures by probe at its times.
type feHistory struct {
	times []float64
	temps [][]float64
	took  time.Duration
}

// run writes the deck, runs the program on one core and reads its print file.
func (m *feModel) run(t *testing.T, probes []Probe) feHistory {
	t.Helper()
	ccx, err := exec.LookPath("ccx")
	if err != nil {
		t.Fatal("the ccx tag asks for the finite-element program ccx, which is not in PATH: install the Debian package calculix-ccx")
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "model.inp"), m.out.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(context.Background(), ccx, "-i", "model")
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "OMP_NUM_THREADS=1", "CCX_NPROC_EQUATION_SOLVER=1")
	start := time.Now()
	log, err := cmd.CombinedOutput()
	took := time.Since(start)
	if err != nil {
		t.Fatalf("ccx: %v\n%s", err, tail(string(log), 30))
	}
	data, err := os.ReadFile(filepath.Join(dir, "model.dat"))
	if err != nil {
		t.Fatalf("ccx left no print file: %v\n%s", err, tail(string(log), 30))
	}
	h, err := readPrint(data, func() ([][8]int, [][8]float64) { return m.readNodes(probes) })
	if err != nil {
		t.Fatal(err)
	}
	h.took = took
	return h
}

func tail(s string, n int) string {
	l := strings.Split(strings.TrimSpace(s), "\n")
	return strings.Join(l[max(0, len(l)-n):], "\n")
}

// readPrint reads blocks "temperatures for set PROBES and time X" of node lines.
func readPrint(data []byte, nodes func() ([][8]int, [][8]float64)) (feHistory, error) {
	corner, weight := nodes()
	h := feHistory{temps: make([][]float64, len(corner))}
	sc := bufio.NewScanner(bytes.NewReader(data))
	var now map[int]float64
	flush := func() error {
		if now == nil {
			return nil
		}
		for p := range corner {
			v := 0.0
			for i, n := range corner[p] {
				x, ok := now[n]
				if !ok {
					return fmt.Errorf("node %d is missing at %g s", n, h.times[len(h.times)-1])
				}
				v += weight[p][i] * x
			}
			h.temps[p] = append(h.temps[p], v)
		}
		return nil
	}
	for sc.Scan() {
		line := strings.TrimSpace(sc.Text())
		if strings.HasPrefix(line, "temperatures") {
			if err := flush(); err != nil {
				return h, err
			}
			f := strings.Fields(line)
			v, err := strconv.ParseFloat(f[len(f)-1], 64)
			if err != nil {
				return h, fmt.Errorf("print file: %q: %v", line, err)
			}
			h.times, now = append(h.times, v), map[int]float64{}
			continue
		}
		f := strings.Fields(line)
		if len(f) != 2 || now == nil {
			continue
		}
		n, err1 := strconv.Atoi(f[0])
		v, err2 := strconv.ParseFloat(f[1], 64)
		if err1 != nil || err2 != nil {
			return h, fmt.Errorf("print file: %q is no node and temperature", line)
		}
		now[n] = v
	}
	return h, flush()
}

func (h *feHistory) at(p int, t float64) float64 {
	i := 1
	for i < len(h.times)-1 && h.times[i] < t {
		i++
	}
	f := (t - h.times[i-1]) / (h.times[i] - h.times[i-1])
	return h.temps[p][i-1] + f*(h.temps[p][i]-h.temps[p][i-1])
}
