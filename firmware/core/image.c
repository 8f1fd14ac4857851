#include "image.h"
#include "link.h"

uint16_t image_length;
uint16_t first_entry;
uint8_t image_role;

OUT_OF_LINE uint8_t head_u8(uint8_t at)
{
	return flash_u8(first_entry - HEAD_BYTES + at);
}

uint8_t image_linked(uint16_t entry)
{
	return (flash_u8(entry + LAYER_FLAGS) & (IS_LINKED | IS_STILL)) == IS_LINKED
		&& flash_u16(entry + LAYER_STAY_N) >= LINK_PERIOD_TICKS;
}
