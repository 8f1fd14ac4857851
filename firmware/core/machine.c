#include "machine.h"
#include "handover.h"
#include "image.h"

#define FIRST_WINDOW      2      /* frames: a signal wanted from the first frame on does not arrive */

struct layer layers[LAYERS_MAX];
struct layer *layers_end;
uint8_t machine_moves;

void machine_reset(void)
{
	uint16_t entry = first_entry;
	/* Of a module fed by its turn wire the turn has just come: it arrives. */
	uint8_t from_nothing = image_role & ROLE_FED ? IS_SHOW | IS_PACED : IS_SHOW;
	layers_end = layers + head_u8(HEAD_LAYERS);
	for (struct layer *l = layers; l < layers_end; l++, entry += LAYER_BYTES)
		l->window = flash_u8(entry + LAYER_FLAGS) & from_nothing ? 0 : FIRST_WINDOW;
}
