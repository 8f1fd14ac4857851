/* The link wire keeps linked shows of two modules in step: the leader pulls marks, the follower measures them and trims its
 * rate (docs/engine.md, section 6). Signals never look at it.
 *
 * A position is counted in 1/4096 tick.
 */
#ifndef LINK_H
#define LINK_H
#include "core.h"
#include "player.h"

#define LINK_PERIOD_TICKS 250    /* a second: the distance of marks, and the least period of a linked stay */

enum link_mark { LINK_NONE, LINK_SECOND, LINK_START };
enum link_role { LINK_OFF, LINK_LEADER, LINK_FOLLOWER };

/* What the follower has seen when a frame begins. Written by the interrupt at the snapshot, read by the frame job. */
struct link_seen {
	uint8_t mark;            /* enum link_mark */
	uint8_t age;             /* refreshes from the mark's first low sample to the snapshot's sample */
};

/* Interrupt side. */
void link_begin(void);                                     /* the image was accepted */
void link_refresh(uint8_t level);                          /* one sample, 1 = high */
void link_snapshot(struct link_seen *seen);                /* hands over; there is no mark then */

/* Main side. */
void link_stay_starts(void);                               /* the stay of a linked show starts */
uint16_t link_rate(void);                                  /* of a linked show in stay, 1/4096 tick a frame */

/* Follower, once a frame. seen->mark is LINK_NONE when there is no mark to use; then part and period mean nothing.
 * Returns 1 when the stay must be restarted; *behind is then the position to bring it to. */
uint8_t link_follow(const struct link_seen *seen, const struct player *player, uint16_t period, uint16_t *behind);

/* Leader, once a frame, after the players ran. player: of the linked show in stay, or none. Returns 1 to pull low. */
uint8_t link_lead(const struct player *player, uint16_t period);

#endif
