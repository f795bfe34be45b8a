package web

import (
	"net"
	"sync"
)

// limit lets a listener have no more than so many connections at a time; further ones wait with the system until one ends.
func limit(l net.Listener, most int) net.Listener {
	return &limited{l, make(chan struct{}, most), make(chan struct{}), sync.Once{}}
}

type limited struct {
	net.Listener
	open   chan struct{}
	closed chan struct{}
	once   sync.Once
}

func (l *limited) Accept() (net.Conn, error) {
	select {
	case l.open <- struct{}{}:
	case <-l.closed:
		return nil, net.ErrClosed
	}
	c, err := l.Listener.Accept()
	if err != nil {
		<-l.open
		return nil, err
	}
	return &counted{Conn: c, leave: sync.OnceFunc(func() { <-l.open })}, nil
}

func (l *limited) Close() error {
	l.once.Do(func() { close(l.closed) })
	return l.Listener.Close()
}

type counted struct {
	net.Conn
	leave func()
}

func (c *counted) Close() error {
	defer c.leave()
	return c.Conn.Close()
}
