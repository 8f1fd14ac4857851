package loader

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"time"

	"lampwright/flash"
	"lampwright/report"
)

// attempts is how often a load that the module broke off is begun anew.
const attempts = 3

// Progress is told what is being done and how far it is, in steps of equal length as far as that is known.
type Progress func(doing string, done, all int)

// Load writes a module over the serial line, in the order that leaves a serving module at every moment (docs/loading.md,
// section 2), and reads everything back. It returns nil when the module holds what was wanted and runs it.
func (l *Serial) Load(ctx context.Context, w Wanted, progress Progress) *report.Diagnostic {
	id, err := identify(l.memory(ctx))
	if err != nil {
		return l.trouble(ctx, err)
	}
	if d := w.refuse(id, false); d != nil {
		return d
	}
	job := &loading{Serial: l, wanted: w, pages: w.pages(id.SafeA), progress: progress}
	for range attempts {
		err = job.attempt(ctx, id)
		if err == nil {
			return nil
		}
		if ctx.Err() != nil || errors.As(err, new(lost)) || errors.As(err, new(refused)) {
			break
		}
	}
	return job.trouble(ctx, err)
}

func (l *Serial) memory(ctx context.Context) memory {
	return func(at, n int) ([]byte, error) { return l.read(ctx, at, n) }
}

// page is 128 bytes and where they go.
type page struct {
	at    int
	bytes []byte
}

// paged cuts bytes into pages from an address on, blank behind their end.
func paged(at int, data []byte) (pages []page) {
	for len(data) > 0 {
		p := bytes.Repeat([]byte{flash.Blank}, flash.PageBytes)
		n := copy(p, data)
		pages = append(pages, page{at, p})
		at, data = at+flash.PageBytes, data[n:]
	}
	return pages
}

// pages lists what is written, in its order: from the first page on no image counts, and with the last one it does again. The safe
// copy that is right is never the first to be erased.
func (w Wanted) pages(rightA bool) []page {
	image := paged(flash.ImageStart, w.Image)
	a, b := paged(flash.SafeAStart, w.Safe), paged(flash.SafeBStart, w.Safe)
	order := []page{{flash.ImageStart, bytes.Repeat([]byte{flash.Blank}, flash.PageBytes)}}
	order = append(order, image[1:]...)
	if rightA {
		order = append(append(order, b...), a...)
	} else {
		order = append(append(order, a...), b...)
	}
	return append(order, image[0])
}

// loading is one load under way.
type loading struct {
	*Serial
	wanted   Wanted
	pages    []page
	progress Progress
	begun    bool // the first page has been sent: the old image may be gone
}

// refused is a page that the module did not take.
type refused struct {
	at     int
	status byte
}

func (refused) Error() string { return "the module did not take a page" }

// errShut means that no key opened the module.
var errShut = errors.New("the module does not let itself be loaded")

// keys are tried one after the other: that of the image, and that of a module which has accepted none.
func keys(id Identity) [][]byte {
	none := bytes.Repeat([]byte{0xFF}, keyBytes)
	var all [][]byte
	for _, h := range id.Hands {
		all = append(all, binary.LittleEndian.AppendUint16(binary.LittleEndian.AppendUint32(nil, h.Kit), h.Lamp))
	}
	return append(all, none)
}

// attempt goes once through the whole order.
func (j *loading) attempt(ctx context.Context, id Identity) error {
	if err := j.enter(ctx, id); err != nil {
		return err
	}
	for i, p := range j.pages {
		j.progress("writing", i, len(j.pages))
		j.begun = true
		if err := j.write(ctx, p); err != nil {
			return err
		}
	}
	j.progress("writing", len(j.pages), len(j.pages))
	for i, p := range j.pages[1:] {
		j.progress("reading back", i, len(j.pages)-1)
		held, err := j.read(ctx, p.at, len(p.bytes))
		if err != nil {
			return err
		}
		if !bytes.Equal(held, p.bytes) {
			return refused{p.at, pageDiffers}
		}
	}
	j.progress("reading back", len(j.pages)-1, len(j.pages)-1)
	// Everything is where it should be. Without an answer the module has left all the same, or does so after three seconds.
	_, err := j.ask(ctx, triesMost, empty, commandLeave)
	if ctx.Err() != nil || errors.As(err, new(lost)) {
		return err
	}
	return nil
}

// enterTries is how often each key is sent in a row: they take turns until one opens the module.
const enterTries, enterRounds = 2, 3

func (j *loading) enter(ctx context.Context, id Identity) error {
	for range enterRounds {
		for _, key := range keys(id) {
			_, err := j.ask(ctx, enterTries, empty, commandEnter, key...)
			if !errors.Is(err, errSilent) {
				return err
			}
		}
	}
	if _, err := j.read(ctx, markAt, 1); err != nil {
		return err
	}
	return errShut
}

// Answers to a page.
const (
	pageWritten = 0
	pageNone    = 1 // its address may not be written
	pageDiffers = 2 // it reads back different
)

// pageTries is how often a page that reads back different is written again.
const pageTries = 3

func (j *loading) write(ctx context.Context, p page) error {
	payload := append([]byte{byte(p.at), byte(p.at >> 8)}, p.bytes...)
	status := byte(pageWritten)
	for range pageTries {
		answer, err := j.ask(ctx, triesMost, func(a []byte) bool { return len(a) == 1 }, commandPage, payload...)
		if err != nil {
			return err
		}
		if status = answer[0]; status != pageDiffers {
			break
		}
	}
	if status != pageWritten {
		return refused{p.at, status}
	}
	return nil
}

// trouble tells the builder why a load failed, and how the module stands now.
func (j *loading) trouble(ctx context.Context, err error) *report.Diagnostic {
	var page refused
	switch {
	case errors.Is(err, errShut):
		return fail(IDShut, "the module answers but does not let itself be loaded").
			because("its identity was read, and neither its own key nor that of an empty module opened it").
			do("switch its supply off and on and load again at once; if it stays so, write it with a programmer (leave --serial out)")
	case errors.As(err, &page) && page.status == pageDiffers:
		return fail(IDMismatch, "page %04x of the module reads back different from what was written", page.at).
			because("a module with a damaged program must not be fitted, and shows plain signals at best").
			do("check the supply (4.5 V to 5.5 V at the controller) and load again; if no page can be written, write the module once with a programmer, " +
				"which also sets the fuse that lets the loader write; if it differs again, replace the controller")
	case errors.As(err, &page):
		return fail(IDOldLoader, "the module does not take page %04x", page.at).
			because("its loader guards other addresses than this tool knows").
			do("write the module once with a programmer (leave --serial out): that renews core and loader")
	}
	d := j.Serial.trouble(ctx, err)
	if j.begun {
		d.Why = "the load was broken off: the module shows plain signals without its program"
		d.Next += "; then load it again"
	}
	return d
}

// Pages is how many pages a load writes.
func (w Wanted) Pages() int { return len(w.pages(true)) }

// Lasts is about how long a load takes over the serial line.
func (w Wanted) Lasts() time.Duration {
	const (
		writing = 10 * time.Millisecond // of a page: erasing and writing, 3.7 to 4.5 ms each (ATmega328P data sheet)
		turn    = 5 * time.Millisecond  // of an adapter between what comes and what goes; some take 16 ms (common practice, no source)
	)
	page := onLine(packetExtra+2+flash.PageBytes) + writing + onLine(packetExtra+1) + turn
	back := flash.PageBytes / readMost * (onLine(packetExtra+3+packetExtra+readMost) + turn)
	return quietWait + time.Duration(w.Pages())*(page+back)
}
