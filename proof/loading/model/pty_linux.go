package model

import (
	"fmt"
	"os"
	"syscall"
	"unsafe"
)

// Plug puts the module on a pseudo-terminal and gives the name of its port: a serial port as the operating system knows them, without
// a speed. Call unplug before looking at the module.
func (m *Module) Plug() (port string, unplug func(), err error) {
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		return "", nil, err
	}
	var unlock, number int32
	for request, arg := range map[uintptr]*int32{syscall.TIOCSPTLCK: &unlock, syscall.TIOCGPTN: &number} {
		if _, _, e := syscall.Syscall(syscall.SYS_IOCTL, master.Fd(), request, uintptr(unsafe.Pointer(arg))); e != 0 {
			master.Close()
			return "", nil, e
		}
	}
	port = fmt.Sprintf("/dev/pts/%d", number)
	// While this side is held open too, the tool may close the port and open it again.
	hold, err := os.OpenFile(port, os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		master.Close()
		return "", nil, err
	}
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		for buf := make([]byte, 256); ; {
			n, err := master.Read(buf)
			if err != nil {
				return
			}
			for _, b := range buf[:n] {
				if answer := m.Take(b); answer != nil {
					if _, err := master.Write(answer); err != nil {
						return
					}
				}
			}
		}
	}()
	return port, func() {
		hold.Close()
		<-ended
		master.Close()
	}, nil
}
