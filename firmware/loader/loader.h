/* The serial line: reading, loading anew and streaming light (docs/loading.md), in the last 2 KiB of flash.
 *
 * Two parts. The receiver is the core's: serial_refresh listens and answers, one byte a refresh, while the lamps go on as
 * ever. loader_run is what *enter* leads to: it takes the whole processor, does the plain signals by itself and writes the
 * flash. Both live in one section (.loader, LOADER_AT) which nothing on the line can write.
 *
 * Rules for the core:
 *  - before anything here is called, loader_there() must have said yes: a module that was written through a loader of another
 *    make has other bytes there.
 *  - USART0 must have its clock (PRR bit PRUSART0 0). Timer1 counts freely with every cycle while loader_run works.
 *  - serial_refresh is called in each refresh, in the interrupt, before the phase moves: what it finds counts for the snapshot
 *    at the end of the same refresh.
 *  - pins board: the receiver's pin is the link wire, and a receiver that is switched on keeps the pin from pulling. link_pull
 *    must call serial_deaf() first, link_release must call serial_listen() last.
 *  - a sleeping module must wake on any change at PD0 too.
 */
#ifndef LOADER_H
#define LOADER_H
#include <stdint.h>
#include <avr/io.h>
#include <avr/pgmspace.h>

#define LOADER_AT        0x7800  /* address in flash */
#define MARK_AT          0x7FF0  /* address in flash of the mark: LWcore, version, board, zeros */
#define MARK_VERSION_AT  0x7FF6
#define CORE_VERSION     2       /* of core and loader together; images and safe blocks of version 2 */

/* --- for the core --- */

/* 1: this section was written together with this core. Ask once, at the start. */
static inline uint8_t loader_there(void)
{
	return pgm_read_word(MARK_AT) == ('L' | 'W' << 8) && pgm_read_word(MARK_VERSION_AT) == CORE_VERSION;
}

/* Starts the receiver: 19 200 baud, 8 data bits, no parity, 1 stop bit. The pins' own directions are not touched. */
void serial_start(void);

/* One refresh of the line: takes at most one byte, sends at most one. 24 cycles without any, at most 190 (the last of a key). */
void serial_refresh(void);

extern volatile uint8_t serial_fresh;    /* 1: a live frame came whole and right; the snapshot clears it */
extern volatile uint8_t serial_heard;    /* 1: a byte came, or an answer is still going out; the snapshot clears it */
extern volatile uint8_t serial_enter;    /* 1: enter came with the right key; the main loop then calls loader_run */

/* Takes over and ends with a reset. Call from the main loop, not from the interrupt. */
void loader_run(void) __attribute__((noreturn));

static inline void serial_deaf(void) { UCSR0B &= (uint8_t)~(1 << RXEN0); }
static inline void serial_listen(void) { UCSR0B |= 1 << RXEN0; }

/* --- from the core --- */

/* Where streamed levels go: 8 * safe_registers bytes. 0 unless an accepted image allows live mode. Called in the interrupt. */
uint8_t *live_levels(void);

/* Address in flash of the header that rules; 0 until an image has been accepted. Called in the interrupt. */
uint16_t ruling_header(void);

#endif
