#include "image.h"
#include "link.h"

uint16_t image_length;

uint8_t image_u8(uint16_t at)
{
	return at < image_length ? image_raw(at) : 0;
}

uint16_t image_u16(uint16_t at)
{
	return image_u8(at) | (uint16_t)image_u8(at + 1) << 8;
}

uint8_t image_holds(uint16_t at, uint8_t n)
{
	return at < image_length && n <= image_length - at ? n : 0;
}

uint8_t image_linked(uint16_t entry)
{
	return (image_u8(entry + LAYER_FLAGS) & (IS_LINKED | IS_STILL)) == IS_LINKED
		&& image_u16(entry + LAYER_STAY_N) >= LINK_PERIOD_TICKS;
}
