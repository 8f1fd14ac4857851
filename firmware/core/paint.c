/* The ATmega328P has avr/paint.S in place of this file. */
#include "paint.h"
#include "image.h"
#include "player.h"

void paint_still(uint16_t entry, uint8_t *levels)
{
	uint16_t map = flash_u16(entry + LAYER_MAP), table = flash_u16(entry + LAYER_STAY);
	for (uint8_t n = flash_u8(entry + LAYER_SLOTS); n; n--)
		levels[image_u8(map++) % OUTPUTS_LIMIT] = image_u8(table++);
}

void paint_fades(uint16_t entry, uint8_t *levels)
{
	uint16_t map = flash_u16(entry + LAYER_MAP);
	const struct fade *f = &fades[flash_u8(entry + LAYER_FADE)];
	for (uint8_t n = flash_u8(entry + LAYER_SLOTS); n; n--, f++)
		levels[image_u8(map++) % OUTPUTS_LIMIT] = f->cur >> 8;
}
