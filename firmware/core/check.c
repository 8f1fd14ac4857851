#include "check.h"
#include "crc.h"
#include "image.h"
#include "safe.h"

#define PIECE_BYTES      256

uint8_t check_verdict;

static uint16_t done;            /* bytes checked */
static uint16_t crc;

/* True when n bytes from an offset on do not end at or before the CRC. */
static uint8_t runs_out(uint16_t at, uint16_t n)
{
	uint16_t end = image_length - 2;
	return at > end || n > end - at;
}

/* Whether a layer's entry can do no harm. moving: counts the moving layers. */
static uint8_t layer_sane(uint16_t entry, uint8_t *moving)
{
	uint8_t slots = flash_u8(entry + LAYER_SLOTS);
	if (slots == 0 || slots > OUTPUTS_LIMIT || runs_out(flash_u16(entry + LAYER_MAP), slots))
		return 0;
	if (flash_u8(entry + LAYER_FLAGS) & IS_STILL)
		return !runs_out(flash_u16(entry + LAYER_STAY), slots);
	return (*moving)++ < MOVING_MAX && flash_u8(entry + LAYER_FADE) + slots <= FADES_MAX;
}

/* Judges all but the CRC and the routines, so that no later step needs to doubt an offset or an index. */
static uint8_t tables_sane(void)
{
	uint8_t role = image_u8(HEAD_ROLE), count = image_u8(HEAD_LAYERS), moving = 0;
	image_length = image_u16(HEAD_LENGTH);
	if (image_u16(0) != ('L' | 'W' << 8) || image_u8(HEAD_VERSION) != 1
		|| image_length < IMAGE_BYTES_MIN || image_length > IMAGE_BYTES_MAX
		|| image_u8(HEAD_REGISTERS) != safe_registers || count > LAYERS_MAX
		|| ROLE_LINK(role) == 3 || ((role & ROLE_WALK) && count)
		|| runs_out(HEAD_BYTES, LAYER_BYTES * count))
		return 0;
	for (uint8_t p = 0; p < PACERS_MAX; p++) {
		uint8_t mask = image_u8(HEAD_PACER + p);
		if (mask & (uint8_t)(mask - 1))
			return 0;
	}
	for (uint16_t entry = FIRST_ENTRY; count; count--, entry += LAYER_BYTES)
		if (!layer_sane(entry, &moving))
			return 0;
	return 1;
}

void check_step(void)
{
	if (done == 0) {
		crc = CRC_INITIAL;
		if (!tables_sane()) {
			check_verdict = REFUSED;
			return;
		}
	}
	uint16_t end = image_length - done > PIECE_BYTES ? done + PIECE_BYTES : image_length;
	uint16_t c = crc;
	for (uint16_t at = done; at < end; at++)
		c = crc_step(c, image_u8(at));
	crc = c;
	done = end;
	if (done == image_length)
		check_verdict = crc == 0 ? ACCEPTED : REFUSED;
}
