package compile

import "encoding/binary"

// Fits keeps what was fitted from one compilation to the next, so that after an edit only light that has changed is fitted anew. What
// is compiled is the same with it and without. The zero value is ready; one compilation at a time may use it.
type Fits struct {
	run    int // compilations so far
	tracks map[string]*keptTrack
	lights map[string]*keptLight
}

type keptTrack struct {
	track *track
	run   int // that used it last
}

// keptRuns is for how many compilations a fit that none of them uses is kept: some steps of undo and redo.
const keptRuns = 8

// keyOf tells fits by their limits apart.
func (f *fits) keyOf(samples string) string {
	return string(binary.AppendVarint(nil, int64(f.tolerance))) + "|" + samples
}

// keptTrack gives what an earlier compilation fitted, or nil.
func (f *fits) keptTrack(samples string) *track {
	if f.keep == nil {
		return nil
	}
	one := f.keep.tracks[f.keyOf(samples)]
	if one == nil {
		return nil
	}
	one.run = f.keep.run
	return one.track
}

func (f *fits) keepTrack(samples string, t *track) {
	if f.keep != nil {
		f.keep.tracks[f.keyOf(samples)] = &keptTrack{t, f.keep.run}
	}
}

// mostKept is how many fits are kept over compilations that nobody wanted to the end; those count for nothing below it, so that many
// quick edits do not cost what was fitted before them.
const mostKept = 1 << 14

// begin makes ready for a compilation; end counts it and forgets what has not been used for some.
func (k *Fits) begin() {
	if k != nil && k.tracks == nil {
		k.tracks, k.lights = map[string]*keptTrack{}, map[string]*keptLight{}
	}
}

func (k *Fits) end(whole bool) {
	if k == nil || !whole && len(k.tracks)+len(k.lights) <= mostKept {
		return
	}
	for key, one := range k.tracks {
		if k.run-one.run > keptRuns {
			delete(k.tracks, key)
		}
	}
	for key, one := range k.lights {
		if k.run-one.run > keptRuns {
			delete(k.lights, key)
		}
	}
	k.run++
}
