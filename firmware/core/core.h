/* The portable core: what a module does, refresh by refresh (docs/engine.md), free of registers and pins.
 *
 * Two sides work on it. The interrupt side (refresh_next) owns filters, pacers' clocks, link samples, force and what is
 * shown; the main side (frame_job) owns the machine, players and levels. They meet in handover.h only. Memory is static;
 * nothing here allocates, recurses or waits. Bytes of flash are read through image.h and safe.h, where no offset can do harm;
 * every other index that comes from an image is judged at job 0 (check.h) or where it is used.
 *
 * Static RAM on the chain board, bytes: fades 1152, players 184, planes 176, layers 96, pacers 74, levels 64, the rest 173:
 * 1919 of 2048; the deepest stack seen is 37. build.sh refuses a build that leaves less than 120.
 * Processor time of the chain board, measured on simavr, of a 4 ms frame: idle 35 % (the interrupt 25, one more when inputs
 * chatter), and 6 for each layer that fades 64 outputs. A slot's event takes about 60 cycles.
 * Where a file here has a namesake in avr/, the processor runs that one, and this one is the rule for it.
 *
 * A port provides port.h: the sizes of a plane, planes_build, the link wire, bytes of flash by address, the converter, the EEPROM,
 * the side strap and the serial line.
 */
#ifndef CORE_H
#define CORE_H
#define REGISTERS_MAX      8       /* eight-bit registers */
#define OUTPUTS_LIMIT      64      /* outputs that levels exist for, on every board */
#define INPUTS_MAX         8
#define LAYERS_MAX         12
#define MOVING_MAX         8       /* layers that have a player */
#define FADES_MAX          192
#define LIVE_FADES         11      /* the last of these hold streamed levels, where an image allows them */
#define PACERS_MAX         2
#define IMAGE_AT           0x2000  /* address in flash */
#define IMAGE_BYTES_MIN    34
#define IMAGE_BYTES_MAX    22400
#define SAFE_A_AT          0x1F80  /* address in flash */
#define SAFE_B_AT          0x7780
#define SAFE_BYTES         72
#define SIDE_MISSING       0       /* of the side strap; the others as in an image */
#define SIDE_LH            1
#define SIDE_RH            2
#define FULL_LEVEL         255     /* lightness of a lit output */
#define RATE_ONE           4096    /* player's rate: one tick a frame */

#ifndef __ASSEMBLER__
#include <stdint.h>
#include "port.h"

/* Of a function with several callers, or with a loop that the compiler would unroll: one copy of it, so less flash. */
#define OUT_OF_LINE __attribute__((noinline))

/* Reads the safe block and makes ready. Call once, with interrupts off, before the first refresh_next. */
void core_start(void);

/* The work of one frame: call from the main loop when frame_ready() says so; it publishes its result. */
void frame_job(void);

/* True from the snapshot at the start of a frame until frame_job has published. */
uint8_t frame_ready(void);

/* Sleep (docs/engine.md, section 10). True when the module has had nothing to do for long: once what frame_job has just published is
 * shown, the port may stop between two refreshes, dark, until an input changes. It then calls core_woke, and goes on. */
uint8_t core_may_sleep(void);
void core_woke(void);

/* For the serial receiver. Interrupt side. */
uint8_t *live_levels(void);      /* where streamed levels go, one byte an output; 0 while none are wanted */
uint16_t ruling_header(void);    /* address in flash of the header that rules; 0 until an image has been accepted */

#endif
#endif
