package web

import "sync"

// calm holds work in the background back while something is changed, for whoever changes it waits for the answer.
type calm struct {
	mu   sync.Mutex
	busy int           // changes under way
	over chan struct{} // closed with the last of them
}

// change begins a change; done ends it.
func (c *calm) change() (done func()) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.busy++; c.busy == 1 {
		c.over = make(chan struct{})
	}
	return sync.OnceFunc(func() {
		c.mu.Lock()
		defer c.mu.Unlock()
		if c.busy--; c.busy == 0 {
			close(c.over)
		}
	})
}

// wait returns when nothing is changed.
func (c *calm) wait() {
	c.mu.Lock()
	busy, over := c.busy > 0, c.over
	c.mu.Unlock()
	if busy {
		<-over
	}
}
