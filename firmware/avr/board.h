/* Which wire hangs on which processor pin, one block a board. Readable by C and by the assembler.
 * Choose the board with -DBOARD_CHAIN or -DBOARD_PINS.
 *
 * Open drain link: the PORT bit stays 0; the DDR bit pulls the wire low or lets it go.
 */
#ifndef BOARD_H
#define BOARD_H

#if defined(BOARD_CHAIN) == defined(BOARD_PINS)
#error "choose one board: -DBOARD_CHAIN or -DBOARD_PINS"
#endif

#ifdef BOARD_CHAIN
/* Eight-bit power shift registers on SPI, 1..8 of them. in1..in6 = PC0..PC5, in7 = PD3, in8 = PD4. */
#define BLANK_BIT    1       /* PB1, /G: high = dark; an external pull-up keeps it dark in reset */
#define LATCH_BIT    2       /* PB2, RCK: rising edge latches; also the SPI select pin, so it must be an output */
#define DATA_BIT     3       /* PB3, MOSI */
#define CLOCK_BIT    5       /* PB5, SCK at fosc/2 */
#define LINK_BIT     2       /* PD2 */
#define IN7_BIT      3       /* PD3 */
#define IN8_BIT      4       /* PD4 */
#define STRAP_LH_BIT 5       /* PD5 */
#define STRAP_RH_BIT 6       /* PD6 */
#define PLANE_BYTES  8       /* bytes in one plane: byte r drives register r, register 0 is nearest the controller */
#define OUTPUTS_MAX  64
#endif

#ifdef BOARD_PINS
/* No registers: outputs 1..6 = PB0..PB5, outputs 7..12 = PD2..PD7. in1..in6 = PC0..PC5. */
#define LINK_BIT     0       /* PD0 */
#define PLANE_BYTES  2       /* bytes in one plane: the PORTB image, the PORTD image */
#define OUTPUTS_MAX  12
#endif

#define PLANE_COUNT  11      /* sub0, sub1, sub2, P0..P7, in this order in memory */

#ifndef __ASSEMBLER__
#include <avr/io.h>
#include <stdint.h>
#include "loader.h"
#ifdef BOARD_CHAIN
static inline void link_pull(void) { DDRD |= 1 << LINK_BIT; }
static inline void link_release(void) { DDRD &= (uint8_t)~(1 << LINK_BIT); }
#else                        /* the serial receiver, which has the same pin, would keep it an input */
static inline void link_pull(void) { serial_deaf(); DDRD |= 1 << LINK_BIT; }
static inline void link_release(void) { DDRD &= (uint8_t)~(1 << LINK_BIT); serial_listen(); }
#endif
#endif
#endif
