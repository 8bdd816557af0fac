package main

import (
	"net"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

const mostIPs = 4096

// tries slows guessing down: of one address, and of all together.
type tries struct {
	mu    sync.Mutex
	byIP  map[string]*rate.Limiter
	total *rate.Limiter
}

func newTries() *tries {
	return &tries{byIP: map[string]*rate.Limiter{}, total: rate.NewLimiter(2, 20)}
}

// may says whether another try is let through.
func (l *tries) may(addr string) bool {
	host, _, err := net.SplitHostPort(addr)
	if err != nil {
		host = addr
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	one := l.byIP[host]
	if one == nil {
		if len(l.byIP) >= mostIPs {
			clear(l.byIP)
		}
		one = rate.NewLimiter(rate.Every(10*time.Second), 5)
		l.byIP[host] = one
	}
	return one.Allow() && l.total.Allow()
}
