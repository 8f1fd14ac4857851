#include "check.h"
#include "crc.h"
#include "image.h"
#include "player.h"
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

/* Whether a header for this module stands at an offset, so that what it says may be read. */
static uint8_t is_header(uint16_t at)
{
	return !runs_out(at, HEAD_BYTES) && image_u16(at) == ('L' | 'W' << 8) && image_u8(at + HEAD_VERSION) == IMAGE_VERSION
		&& image_u8(at + HEAD_REGISTERS) == safe_registers;
}

/* Whether a header is one that the side strap does not speak against. strap: its SIDE. */
OUT_OF_LINE static uint8_t is_on_side(uint16_t at, uint8_t strap)
{
	return (image_u8(at + HEAD_ROLE) & ROLE_STRAP) && image_u8(at + HEAD_SIDE) == strap;
}

/* Finds the header that rules. Returns 0 when there is none. */
static uint8_t choose_header(void)
{
	uint16_t at = 0;
	uint8_t strap = strap_side();            /* asked in any case: the asking pins come to rest then */
	image_length = image_u16(HEAD_LENGTH);
	if (image_length < IMAGE_BYTES_MIN || image_length > IMAGE_BYTES_MAX || !is_header(0))
		return 0;
	if (image_u8(HEAD_ROLE) & ROLE_STRAP) {
		if (strap == SIDE_MISSING)
			return 0;
		if (!is_on_side(0, strap)) {
			at = image_u16(HEAD_OTHER);
			if (!is_header(at) || !is_on_side(at, strap))
				return 0;
		}
	}
	first_entry = IMAGE_AT + at + HEAD_BYTES;
	return 1;
}

/* Judges all but the CRC and the routines, so that no later step needs to doubt an offset or an index. */
static uint8_t tables_sane(void)
{
	if (!choose_header())
		return 0;
	uint8_t count = head_u8(HEAD_LAYERS), moving = 0;
	image_role = head_u8(HEAD_ROLE);
	if (count > LAYERS_MAX || ROLE_LINK(image_role) == 3 || ((image_role & ROLE_WALK) && count)
		|| runs_out(first_entry - IMAGE_AT, LAYER_BYTES * count))
		return 0;
	for (uint8_t p = 0; p < PACERS_MAX; p++) {
		uint8_t mask = head_u8(HEAD_PACER + p);
		if (mask & (uint8_t)(mask - 1))
			return 0;
	}
	for (uint16_t entry = first_entry; count; count--, entry += LAYER_BYTES)
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
	uint16_t at = done, c = crc;
	do
		c = crc_step(c, image_u8(at++));
	while (at % PIECE_BYTES && at != image_length);
	crc = c;
	done = at;
	if (at == image_length)
		check_verdict = crc == 0 ? ACCEPTED : REFUSED;
}

uint16_t ruling_header(void)
{
	return check_verdict == ACCEPTED ? first_entry - HEAD_BYTES : 0;
}

uint8_t *live_levels(void)
{
	return ruling_header() && !(image_role & ROLE_WALK) && (head_u8(HEAD_LIVE) & LIVE_ALLOWED) ? STREAMED_LEVELS : 0;
}
