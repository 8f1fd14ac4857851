#include "check.h"
#include "crc.h"
#include "image.h"
#include "safe.h"

#define PIECE_BYTES      256

uint8_t check_verdict;

static uint16_t done;            /* bytes checked */
static uint16_t crc;

static uint16_t header_length(void)
{
	uint16_t length = image_raw(HEAD_LENGTH) | (uint16_t)image_raw(HEAD_LENGTH + 1) << 8;
	uint8_t sane = image_raw(0) == 'L' && image_raw(1) == 'W' && image_raw(HEAD_VERSION) == 1
		&& length >= IMAGE_BYTES_MIN && length <= IMAGE_BYTES_MAX
		&& image_raw(HEAD_REGISTERS) == safe_registers && image_raw(HEAD_LAYERS) <= LAYERS_MAX;
	return sane ? length : 0;
}

void check_step(void)
{
	if (done == 0) {
		crc = CRC_INITIAL;
		image_length = header_length();
		if (image_length == 0) {
			check_verdict = REFUSED;
			return;
		}
	}
	uint16_t end = image_length - done > PIECE_BYTES ? done + PIECE_BYTES : image_length;
	uint16_t c = crc;
	for (uint16_t at = done; at < end; at++)
		c = crc_step(c, image_raw(at));
	crc = c;
	done = end;
	if (done == image_length)
		check_verdict = crc == 0 ? ACCEPTED : REFUSED;
}
