/* The walk: an image for the wiring check. Each press lights the next output, alone (docs/engine.md, section 8). Main side. */
#ifndef WALK_H
#define WALK_H
#include "core.h"

/* The image was accepted. */
void walk_reset(void);

/* One frame. in: filtered inputs; level: OUTPUTS_LIMIT levels, all dark on entry. */
void walk_step(uint8_t in, uint8_t *level);

#endif
