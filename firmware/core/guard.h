/* Guard: what a supply too high or too low, or a lamp too hot, forbids (docs/engine.md, section 3.1). Main side. */
#ifndef GUARD_H
#define GUARD_H
#include "core.h"

/* Bits of guard. */
#define GUARD_OVER       0x01    /* more than the outputs bear at full light */
#define GUARD_LOW        0x02    /* the supply has no light left for shows */
#define GUARD_WARM       0x04    /* too warm for shows */
#define GUARD_HOT        0x08    /* too hot for full light */
#define GUARD_LIVE       0x10    /* live mode: the frame job sets it */
#define GUARD_HALVES     (GUARD_OVER | GUARD_HOT)

extern uint8_t guard;            /* the conditions that hold */

/* One frame. job: its number; code: the converter's, the supply's in even jobs and the heat's in odd ones; runs: 1 when the image does. */
void guard_step(uint8_t job, uint8_t code, uint8_t runs);

#endif
