package loader

import (
	"errors"
	"io/fs"
	"strings"
	"syscall"

	"go.bug.st/serial"

	"lampwright/report"
)

// OpenPort is a port of this machine that is open.
type OpenPort interface {
	Port
	Close() error
}

// Open opens a serial port of this machine, such as /dev/ttyUSB0 or COM3, at the speed of the line.
func Open(name string) (OpenPort, *report.Diagnostic) {
	port, err := serial.Open(name, &serial.Mode{BaudRate: Baud, DataBits: 8, Parity: serial.NoParity, StopBits: serial.OneStopBit})
	if err != nil {
		return nil, cannotOpen(name, err, Ports())
	}
	return port, nil
}

// Ports lists the serial ports of this machine; none when it cannot tell.
func Ports() []string {
	names, err := serial.GetPortsList()
	if err != nil {
		return nil
	}
	return names
}

// cannotOpen tells why a port does not open; others are those that are there.
func cannotOpen(name string, err error, others []string) *report.Diagnostic {
	code := serial.PortErrorCode(-1)
	var known *serial.PortError
	if errors.As(err, &known) {
		code = known.Code()
	}
	switch {
	case code == serial.PortBusy || errors.Is(err, syscall.EBUSY):
		return fail(IDBusyPort, "another program holds %s", name).do("close it (a serial monitor, or another load), then run it again")
	case code == serial.PermissionDenied || errors.Is(err, fs.ErrPermission):
		return fail(IDNoPermission, "you may not open %s", name).
			do("on Linux run sudo usermod -aG dialout $USER and log in again")
	case code == serial.PortNotFound || errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENXIO) || errors.Is(err, syscall.ENODEV):
		next := "plug the adapter in and look for its port (Linux: ls /dev/ttyUSB* /dev/ttyACM*)"
		if len(others) > 0 {
			next = "plug the adapter in, or name one of the ports that are there: " + strings.Join(others, ", ")
		}
		return fail(IDNoPort, "there is no port %s", name).do("%s", next)
	case code == serial.InvalidSerialPort || errors.Is(err, syscall.ENOTTY):
		return fail(IDNoPort, "%s is no serial port", name).do("name the port of the adapter, such as /dev/ttyUSB0 or COM3")
	}
	return fail(IDNoPort, "the port %s cannot be opened: %s", name, plain(err)).do("check the adapter and its driver, then run it again")
}
