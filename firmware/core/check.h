/* The image check: in the background, a piece a frame, while the safe program serves (docs/engine.md, section 7). Main side. */
#ifndef CHECK_H
#define CHECK_H
#include "core.h"

enum verdict { CHECKING, ACCEPTED, REFUSED };

extern uint8_t check_verdict;    /* enum verdict */

/* The next piece. To be called once a frame until there is a verdict; the first call judges the tables. */
void check_step(void);

#endif
