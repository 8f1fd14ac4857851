package firmware

import (
	"encoding/binary"
	"testing"

	"lampwright/program"
	"lampwright/program/programtest"
	"lampwright/program/vector"

	"pgregory.net/rapid"
)

const (
	damagedRefreshes = 4000
	liveFades        = 11 // the last of the fades hold streamed levels
)

// Offsets in an image; docs/image-format.md, section 3.
const (
	atLayers   = 7
	atOther    = 18
	atLive     = 24
	headBytes  = 32
	layerBytes = 32
	flagShow   = 1
	flagStill  = 2
	flagFast   = 4
)

// resealed gives an image with a right check at its end.
func resealed(image []byte) []byte {
	n := len(image) - 2
	return binary.BigEndian.AppendUint16(image[:n:n], program.CRC(image[:n]))
}

// beyondCare tells whether an image is broken in one of the two ways in which the core need not light as the engine does,
// for which nothing in it can be hurt: fades that two layers share, or a layer and live mode, or a stop override that is not
// among leading signals. The decoder refuses both.
func beyondCare(image []byte) bool {
	return handBeyondCare(image, 0) || handBeyondCare(image, int(binary.LittleEndian.Uint16(image[atOther:])))
}

// handBeyondCare looks at the hand whose header would stand at an offset.
func handBeyondCare(image []byte, head int) bool {
	if head+headBytes > len(image) {
		return false
	}
	var used [program.MaxFades]bool
	if image[head+atLive]&1 != 0 {
		for f := len(used) - liveFades; f < len(used); f++ {
			used[f] = true
		}
	}
	shows := false
	for i := range int(image[head+atLayers]) {
		at := head + headBytes + layerBytes*i
		if at+layerBytes > len(image) {
			return false // refused at once
		}
		e := image[at : at+layerBytes]
		if e[0]&flagFast != 0 && (shows || e[0]&flagShow != 0) {
			return true
		}
		shows = shows || e[0]&flagShow != 0
		if e[0]&flagStill != 0 {
			continue
		}
		for f := int(e[3]); f < int(e[3])+int(e[2]) && f < len(used); f++ {
			if used[f] {
				return true
			}
			used[f] = true
		}
	}
	return false
}

// damage changes a few bytes of an image; layer entries and code alike.
func damage(t *rapid.T, image []byte) []byte {
	image = append([]byte(nil), image...)
	for range rapid.IntRange(1, 6).Draw(t, "bytes") {
		at := rapid.IntRange(0, len(image)-1).Draw(t, "at")
		if rapid.Bool().Draw(t, "one bit") {
			image[at] ^= 1 << rapid.IntRange(0, 7).Draw(t, "bit")
		} else {
			image[at] = rapid.Byte().Draw(t, "byte")
		}
	}
	return image
}

func TestDamagedImage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := programtest.Random(t)
		s := programtest.RandomSafe(t, p)
		v := programtest.RandomModule(t, p, s)
		v.Image = damage(t, v.Image)
		if rapid.IntRange(0, 3).Draw(t, "check") > 0 {
			v.Image = resealed(v.Image)
		}
		if beyondCare(v.Image) {
			return
		}
		v.Runs = programtest.RandomSamples(t, p, s, damagedRefreshes)
		sameLight(t, v)
	})
}

func TestDamagedSafeBlocks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := programtest.Random(t)
		s := programtest.RandomSafe(t, p)
		v := programtest.RandomModule(t, p, s)
		v.SafeA = damage(t, v.SafeA)
		if rapid.Bool().Draw(t, "both") {
			v.SafeB = damage(t, v.SafeB)
		}
		v.Runs = programtest.RandomSamples(t, p, s, damagedRefreshes)
		sameLight(t, v)
	})
}

// TestRandomCode gives the players code that no compiler wrote: any bytes, mostly operations, in images that are sane
// otherwise and whose check is right.
func TestRandomCode(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := programtest.Random(t)
		s := programtest.RandomSafe(t, p)
		v := programtest.RandomModule(t, p, s)
		tables := 0
		for hand := p; hand != nil; hand = hand.Other {
			tables += headBytes + layerBytes*len(hand.Layers)
			for _, l := range hand.Layers {
				tables += len(l.Slots) + len(l.Still)
			}
		}
		operation := rapid.OneOf(rapid.ByteRange(0, 20), rapid.ByteRange(0x3E, 0x48), rapid.ByteRange(0x80, 0x90),
			rapid.ByteRange(0xBE, 0xC6), rapid.Byte())
		for at := tables; at < len(v.Image)-2; at++ {
			if rapid.IntRange(0, 2).Draw(t, "change") == 0 {
				v.Image[at] = operation.Draw(t, "byte")
			}
		}
		v.Image = resealed(v.Image)
		v.Runs = programtest.RandomSamples(t, p, s, damagedRefreshes)
		sameLight(t, v)
	})
}

// TestRandomFlash gives the core flash that was never written with sense.
func TestRandomFlash(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		some := rapid.SliceOfN(rapid.Byte(), program.SafeBytes, program.SafeBytes)
		v := &vector.Vector{SafeA: some.Draw(t, "safe-a"), SafeB: some.Draw(t, "safe-b"), Image: rapid.SliceOfN(rapid.Byte(), 0, 600).Draw(t, "image")}
		for range rapid.IntRange(1, 8).Draw(t, "runs") {
			v.Runs = append(v.Runs, vector.Run{Refreshes: rapid.IntRange(1, 300).Draw(t, "refreshes"), In: rapid.Byte().Draw(t, "in"), Link: rapid.Bool().Draw(t, "link")})
		}
		sameLight(t, v)
	})
}
