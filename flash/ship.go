package flash

import (
	"fmt"

	"lampwright/board"
	"lampwright/firmware"
	"lampwright/program"
)

// Ship gives the HEX file that is written into a controller: the prebuilt core of its kind of board with its loader, the safe
// block in both copies, and the image.
//
// It fails when the safe block is refused (program.Faults) or the image does not fit.
func Ship(core board.Core, safe *program.Safe, image []byte) ([]byte, error) {
	prebuilt, ok := map[board.Core][]byte{board.CoreChain: firmware.Chain, board.CorePins: firmware.Pins}[core]
	if !ok {
		return nil, fmt.Errorf("there is no core %q; use one of %q", core, core.Words())
	}
	memory, err := ReadHEX(prebuilt)
	if err != nil {
		return nil, fmt.Errorf("the core that ships with this tool is damaged: %w", err)
	}
	bytes, err := memory.Flat(TotalBytes)
	if err != nil {
		return nil, fmt.Errorf("the core that ships with this tool is damaged: %w", err)
	}
	block, err := program.EncodeSafe(safe)
	if err != nil {
		return nil, err
	}
	whole, err := Join(bytes, block, image)
	if err != nil {
		return nil, err
	}
	return HEX(0, whole)
}
