/* The refresh: one interrupt that owns the outputs, and its contract with the portable core.
 *
 * The interrupt shows `shown`, OR-ing `force_now` into every byte, in every plane, S and its dark phase included: a forced
 * output is lit whatever the planes hold and whether or not the main loop still runs. Once a refresh (every 0.5 ms), while
 * the longest plane shines, it samples the inputs and calls refresh_next, which decides what the next refresh shows.
 * Since `force_now` and `shown` change nowhere else, a refresh is wholly old or wholly new.
 *
 * Rules for the code around it:
 *  - interrupts may be off for a few cycles only: each cycle off moves the border between two of the long planes by a cycle,
 *    P4 feels it most; the short ones stay exact. More than REFRESH_OFF_CYCLES_MAX loses a match of the timer: the outputs then
 *    stand still until the counter comes round, 4 ms later.
 *  - refresh_next takes REFRESH_NEXT_CYCLES_MAX at most.
 *  - Timer1, SPI (chain) and GPIOR0..GPIOR2 belong to the refresh; nothing else may use the 16-bit timer registers.
 */
#ifndef REFRESH_H
#define REFRESH_H
#include <stdint.h>
#include "board.h"
#include "widths.h"

#define REFRESH_OFF_CYCLES_MAX  800    /* cycles of the processor */
#define REFRESH_NEXT_CYCLES_MAX 2500   /* cycles, from its call to its return */

/* Slot S shows, in phases 0..7 of a frame: sub2 sub1 sub2 sub0 sub2 sub1 sub2 dark. So sub bit 2 shines four times a frame,
 * bit 1 twice, bit 0 once, and a duty of 8*hi + sub shines hi + sub/8 units a refresh on average. */
#define SUB_PATTERN { 2, 1, 2, 0, 2, 1, 2, -1 }

/* Defined by the portable core. */
extern uint8_t planes[2][PLANE_COUNT][PLANE_BYTES];    /* double buffer; write the one that `shown` does not point at */
extern uint8_t force_now[8];                           /* bit o%8 of byte o/8 lights output o (0-based) on every board */
extern uint8_t *shown;                                 /* planes[0][0] or planes[1][0] */

/* Called by the interrupt once a refresh. in: bit n = level of input n+1, inputs that the board lacks read 0.
 * link: 1 = the link wire is high, 0 = somebody pulls it low. May change force_now and shown. Returns the phase 0..7 of the
 * coming refresh; shown may change only when it returns 0. Runs with interrupts off; its length adds to the interrupt. */
uint8_t refresh_next(uint8_t in, uint8_t link);

/* Makes the outputs dark and starts the timer; the first refresh follows the first call of refresh_next. Call with
 * interrupts off and force_now, shown and the planes ready; then switch interrupts on. */
void refresh_start(void);

/* Makes the outputs dark and stops. Call with interrupts off, from the main loop; refresh_start goes on. */
void refresh_stop(void);

/* Turns levels (lightness 0..255, one byte an output) into plane bytes by tables.h. level: 8 * registers bytes
 * (pins: 12 bytes, registers is ignored). dst: a whole plane set; bytes of further registers stay as they are. halved: not 0
 * for half of every duty. */
void planes_build(const uint8_t *level, uint8_t *dst, uint8_t registers, uint8_t halved);

#endif
