#include "player.h"

struct player players[MOVING_MAX];
struct fade fades[FADES_MAX];

uint8_t player_frame(struct player *p, uint16_t entry)
{
	uint8_t ended = 0;
	uint16_t acc = p->acc + p->rate;     /* 65535 at most */
	uint8_t due = acc / RATE_ONE;
	p->acc = acc % RATE_ONE;
	while (due) {
		uint8_t ticks = p->wait && p->wait < due ? p->wait : due;
		due -= ticks;
		player_step(entry, ticks);
		p->pos += ticks;
		if (p->wait) {
			p->wait -= ticks;
			if (!p->wait)
				ended |= player_events(p, entry);
		}
	}
	return ended;
}
