#include <util/delay.h>
#include "loader.h"
#include "work.h"
#include "board.h"

#define LOOK_CYCLES      8000    /* from one look to the next: 0.5 ms */
#define QUICK_LOOKS      4
#define QUICK_US         50      /* from one to the next, so that four of them outlast a spike */
#define TAIL_LOOKS       8       /* the tail shines in one of so many: bright enough to be seen, far from a stop */

IN_LOADER static uint8_t bit(uint8_t number)
{
	uint8_t mask = 1;
	for (number &= 7; number; number--)
		mask <<= 1;
	return mask;
}

/* There is no time to tell the two functions of a wire apart, so the second is taken to be on whenever the wire is, steadily for
 * four looks: too much light rather than too little. */
IN_LOADER static void find_twice(void)
{
	uint8_t shared = work->safe[SAFE_SHARED];
	if (shared & 0x80) {
		work->wire[0] = bit(shared);
		work->second[0] = bit(shared >> 3);
	} else {
		work->second[0] = 0;
	}
	for (uint8_t i = 1; i < SECONDS; i++) {
		const uint8_t *pair = work->safe + SAFE_STOP_TURN - 2 + 2 * i;
		work->wire[i] = bit(pair[0]);
		work->second[i] = pair[0] & 0x80 ? bit(pair[1]) : 0;
	}
}

IN_LOADER static uint8_t inputs(void)
{
	uint8_t in = PINC & 0x3F;
#ifdef BOARD_CHAIN
	in |= (uint8_t)(PIND & (1 << IN7_BIT | 1 << IN8_BIT)) << (6 - IN7_BIT);
#endif
	in ^= work->safe[SAFE_INVERT];
	for (uint8_t i = 0; i < SECONDS; i++) {
		uint8_t second = work->second[i];
		in &= (uint8_t)~second;
		if (in & work->wire[i])
			in |= second;
	}
	return in;
}

#ifdef BOARD_CHAIN
IN_LOADER static inline void shift(uint8_t byte)
{
	SPDR = byte;
	while (!(SPSR & 1 << SPIF))
		;
}
#endif

/* The outputs of one register. */
IN_LOADER static uint8_t word(uint8_t r)
{
	uint8_t on = work->on, lit = 0;
	const uint8_t *mask = work->safe + SAFE_STOP_OUT + r;
	if (on & work->safe[SAFE_STOP_IN])
		lit = mask[0];
	if (on & work->safe[SAFE_TAIL_IN] && work->looks % TAIL_LOOKS == 0)
		lit |= mask[REGISTERS_MAX];
	if (on & work->safe[SAFE_TURN_A_IN])
		lit |= mask[2 * REGISTERS_MAX];
	if (on & work->safe[SAFE_TURN_B_IN])
		lit |= mask[3 * REGISTERS_MAX];
	return lit;
}

IN_LOADER static void show(void)
{
#ifdef BOARD_CHAIN
	for (uint8_t r = REGISTERS_MAX; r--;)
		shift(word(r));
	PORTB |= 1 << LATCH_BIT;
	PORTB &= (uint8_t)~(1 << LATCH_BIT | 1 << BLANK_BIT);
#else
	uint8_t low = word(0);
	PORTB = low & 0x3F;
	PORTD = (low >> 4 & 0x0C) | (uint8_t)(word(1) << 4);
#endif
}

IN_LOADER_OUT_OF_LINE static void look(void)
{
	uint8_t changed = inputs() ^ work->on;
	work->count_0 = (uint8_t)~(work->count_0 & changed);
	work->count_1 = work->count_0 ^ (work->count_1 & changed);
	work->on ^= changed & work->count_0 & work->count_1;
	work->looks++;
	show();
}

IN_LOADER void signals_catch_up(void)
{
	for (uint8_t i = 0; i < QUICK_LOOKS; i++) {
		look();
		_delay_us(QUICK_US);
	}
	work->looked = TCNT1;
}

IN_LOADER uint8_t signals_when_due(void)
{
	uint16_t now = TCNT1;
	if (now - work->looked < LOOK_CYCLES)
		return 0;
	work->looked = now;
	look();
	return 1;
}

IN_LOADER void signals_start(void)
{
	for (uint8_t i = 0; i < SAFE_BYTES; i++)
		work->safe[i] = safe_u8(i);
	find_twice();
	work->count_0 = work->count_1 = 0xFF;
	work->on = 0;
	signals_catch_up();
}
